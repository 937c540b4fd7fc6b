"""Opening a case on the page: the numbers by closed forms at once, the verdict of a worker that is warm."""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from html import unescape
from urllib.request import urlopen

from tests.benchmarks.measure import ROOT, Row, child, median, ratios, run

CASE = "cargo_trike_crank_shell.toml"
BESIDE = "cargo_trike_press_log.csv"
WARM = "worn_bearing_housing.toml"
ASKED = re.compile(r'id="verdict"[^>]* hx-get="([^"]+)" hx-trigger="every (\d+)ms"')
"""What the page asks again, and how often."""


def rows(times: int) -> list[Row]:
    checks, firsts, verdicts = [], [], []
    command = child("steps", "check", f"cases/{CASE}")
    run(command)
    for _ in range(times):
        checks.append(run(command).output["seconds"])
        first, verdict = _opened()
        firsts.append(first)
        verdicts.append(verdict)
    longer, text = ratios(verdicts, checks)
    return [
        Row(
            "a demo opened on the page: wall and Lamé lines are there",
            f"{median(firsts):.2f} s ({min(firsts):.2f} to {max(firsts):.2f})",
            "≤ 0.5 s",
            median(firsts) <= 0.5,
        ),
        Row(
            "a demo opened on the page, worker warm, to its verdict / one check, imports left out",
            text,
            "≤ 1.5",
            longer <= 1.5,
            f"{median(verdicts):.2f} s / {median(checks):.2f} s",
        ),
    ]


def _opened() -> tuple[float, float]:
    """Time, s, until the sizes of a case that was never opened are answered, and until its verdict is."""
    with tempfile.TemporaryDirectory() as folder:
        for name in (CASE, BESIDE, WARM):
            shutil.copy(ROOT / "cases" / name, folder)
        words = [sys.executable, "-m", "hoopwright", "page", folder, "--port", "0", "--no-open"]
        with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, text=True) as server:
            assert server.stdout is not None
            home = server.stdout.readline().split()[-1]
            try:
                _verdict(home, WARM)
                start = time.perf_counter()
                page = _read(f"{home}case/{CASE}/sizes")
                first = time.perf_counter() - start
                if "by Lamé" not in page or "Wall left" not in page:
                    raise RuntimeError("the numbers by closed forms are not on the page")
                _verdict(home, CASE)
                return first, time.perf_counter() - start
            finally:
                server.send_signal(signal.SIGINT)
                server.wait(60)


def _verdict(home: str, name: str) -> None:
    """Open a case, and ask as its page does, as often, until nothing is at work."""
    shown = _read(f"{home}case/{name}/sizes")
    while asked := ASKED.search(shown):
        time.sleep(1e-3 * int(asked[2]))
        shown = _read(f"{home}case/{name}/{unescape(asked[1])}") or shown  # nothing where there is no news
    if "Not judged yet" in shown:
        raise RuntimeError(f"{name}: no verdict")


def _read(address: str) -> str:
    with urlopen(address, timeout=60) as answer:
        return answer.read().decode()
