"""Fuzz both readers at once and print the figures: python tests/fuzz/run.py [--seconds S] [--inputs N]."""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
TARGETS = {"case": 8192, "log": 1024}
"""Longest input of each, bytes."""
STUCK_S = 20
"""Wall time after which the engine abandons an input; the target itself allows 2 s of processor time."""
MAX_MEMORY_MB = 1024


@dataclass(frozen=True)
class Figures:
    """Figures of one target. found: the engine's output if an input violated the contract, else "".

    edges: branches of the reader reached; files: inputs saved because each reached a new branch.
    """

    target: str
    inputs: int
    edges: int
    files: int
    seconds: float
    peak_MB: int  # noqa: N815 - fields end in their unit
    found: str


def fuzz(*, seconds: int, inputs: int, folder: Path) -> list[Figures]:
    """Run both targets side by side, each for so many seconds or inputs. folder: takes failing inputs."""
    with ThreadPoolExecutor(len(TARGETS)) as pool:  # a full pipe stops the engine: one thread drains each
        return list(pool.map(lambda target: _fuzzed(target, seconds, inputs, folder), TARGETS))


def _fuzzed(target: str, seconds: int, inputs: int, folder: Path) -> Figures:
    corpus = folder / target
    corpus.mkdir(parents=True, exist_ok=True)
    command = [sys.executable, str(HERE / "target.py"), target, str(corpus), f"-max_total_time={seconds}",
               f"-runs={inputs}", f"-timeout={STUCK_S}", f"-rss_limit_mb={MAX_MEMORY_MB}",
               f"-max_len={TARGETS[target]}", "-seed=20", "-print_final_stats=1",
               f"-artifact_prefix={folder}/broke-"]  # fmt: skip
    started = time.monotonic()
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                          errors="replace", check=False)  # fmt: skip
    return _figures(target, time.monotonic() - started, done.stdout, broke=done.returncode != 0)


def _figures(target: str, seconds: float, out: str, *, broke: bool) -> Figures:
    counts = re.findall(r"#(\d+)\s+\w+\s+cov: (\d+) ft: \d+ corp: (\d+)", out) or [("0", "0", "0")]
    final = dict(re.findall(r"stat::(\w+):\s+(\d+)", out))
    return Figures(
        target=target,
        inputs=int(final.get("number_of_executed_units", counts[-1][0])),
        edges=int(counts[-1][1]),
        files=int(counts[-1][2]),
        seconds=seconds,
        peak_MB=int(final.get("peak_rss_mb", 0)),
        found=out[-3000:] if broke else "",
    )


def table(figures: list[Figures]) -> str:
    """The figures as rows of a table in Markdown."""
    rows = [
        "| reader | inputs | branches reached | inputs kept | s | peak MB | broke |",
        "|---|---|---|---|---|---|---|",
    ]
    rows += [
        f"| {f.target} | {f.inputs} | {f.edges} | {f.files} | {f.seconds:.0f} | {f.peak_MB} | "
        f"{'yes' if f.found else 'none'} |"
        for f in figures
    ]
    return "\n".join(rows)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=int, default=120)
    parser.add_argument("--inputs", type=int, default=200_000, help="of each reader, at most")
    args = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="fuzz-"))
    figures = fuzz(seconds=args.seconds, inputs=args.inputs, folder=folder)
    print(table(figures))
    for broken in (f for f in figures if f.found):
        print(broken.found)
        print(f"the input is in {folder}")
    return int(any(f.found for f in figures))


if __name__ == "__main__":
    sys.exit(main())
