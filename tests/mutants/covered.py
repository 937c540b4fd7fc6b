"""Which tests run which line, and how long each file of tests takes, recorded once by coverage."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import time
from collections import Counter
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path

from coverage import CoverageData

from tests.mutants.tree import Tree

PACKAGES = ("checks", "measured", "sizing")
LEFT_OUT = re.compile(
    r"test_(architecture|vocabulary|readme|guide|first_hour|address_space|memory|no_room|hard_\w+|fem_\w+"
    r"|kernel_\w+|closed_form_\w+|geometry_\w+|loads_\w+|record_\w+|figure\w*|mutants)"
)
"""Files of tests that do not import the packages, read sources, or run the command in other processes."""
SETTINGS = """\
[run]
source_pkgs =
    hoopwright.checks
    hoopwright.measured
    hoopwright.sizing
dynamic_context = test_function
parallel = true
data_file = {data_file}
"""


@dataclass(frozen=True)
class Covered:
    """tests: ids of the tests that run a line, by file and line, less those that find their values cached.
    files: the test files in whose run the line is reached at all. seconds: duration of each file; lines:
    how many lines each test runs."""

    tests: dict[tuple[str, int], frozenset[str]]
    files: dict[tuple[str, int], frozenset[str]]
    seconds: dict[str, float]
    lines: Counter[str]

    def nearest(self, places: list[tuple[str, int]]) -> set[str]:
        """Tests that run one of the lines; where it is run on import alone, those of its file."""
        found = set().union(*(self.tests.get(place, ()) for place in places))
        if found:
            return found
        paths = {path for path, _ in places}
        return set().union(*(tests for (path, _), tests in self.tests.items() if path in paths))


def record(tree: Tree, folder: Path) -> None:
    """Run every file of tests in a process of its own: what one caches is not there for the next."""
    for package in PACKAGES:
        part = Path("hoopwright", package)
        shutil.copytree(tree.root / part, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
    settings = folder / "settings.ini"
    settings.write_text(SETTINGS.format(data_file=folder / "data"), encoding="utf-8")
    seconds = {}
    for path in sorted((tree.root / "tests").glob("test_*.py")):
        if LEFT_OUT.fullmatch(path.stem):
            continue
        begun = time.monotonic()
        done = tree.python(
            "-m", "coverage", "run", f"--rcfile={settings}", f"--context={path.stem}", "-m", "pytest", "-q",
            "-p", "no:cacheprovider", f"tests/{path.name}", seconds=900.0,
        )  # fmt: skip
        if done not in (0, 5):  # 5: all of its tests are slow
            raise subprocess.CalledProcessError(done, f"pytest tests/{path.name}")
        seconds[path.stem] = time.monotonic() - begun
        print(f"{path.name}: {seconds[path.stem]:.1f} s", flush=True)
    tests = sorted(collected(tree, folder))
    (folder / "tests.json").write_text(json.dumps(tests, indent=0), encoding="utf-8")
    (folder / "seconds.json").write_text(json.dumps(seconds, indent=1), encoding="utf-8")


def collected(tree: Tree, folder: Path) -> set[str]:
    """Ids of all tests by default, without their parameters."""
    log = folder / "collected.txt"
    status = tree.python(
        "-m", "pytest", "--collect-only", "-q", "-p", "no:cacheprovider", seconds=300.0, log=log
    )
    output = log.read_text(encoding="utf-8")
    if status != 0:
        raise RuntimeError(output)
    ids = {line.partition("[")[0] for line in output.splitlines() if "::" in line}
    return {one for one in ids if not LEFT_OUT.fullmatch(Path(one.partition("::")[0]).stem)}


def read(tree: Tree, folder: Path) -> Covered:
    tests: dict[tuple[str, int], set[str]] = {}
    files: dict[tuple[str, int], set[str]] = {}
    for file in sorted(folder.glob("data.*")):
        data = CoverageData(str(file))
        data.read()
        for measured in data.measured_files():
            path = Path(measured).relative_to(tree.root).as_posix()
            now = _lines_now(folder / path, tree.root / path)
            for recorded, contexts in data.contexts_by_lineno(measured).items():
                line = now.get(recorded, 0)
                for context in contexts:
                    stem, _, name = context.partition("|")
                    files.setdefault((path, line), set()).add(stem)
                    if name:
                        tests.setdefault((path, line), set()).add(_id(stem, name))
    seconds = json.loads((folder / "seconds.json").read_text(encoding="utf-8"))
    return Covered(
        {key: frozenset(found) for key, found in tests.items()},
        {key: frozenset(found) for key, found in files.items()},
        seconds,
        Counter(test for found in tests.values() for test in found),
    )


def _lines_now(recorded: Path, present: Path) -> dict[int, int]:
    """Where the lines of a file are now, should it have changed since it was recorded; a new line is taken
    for the one in whose place it stands."""
    before, after = (file.read_text(encoding="utf-8").splitlines() for file in (recorded, present))
    now = {}
    for _, a, a_end, b, b_end in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        now.update({line + 1: min(b + line - a, b_end - 1) + 1 for line in range(a, a_end) if b_end > b})
    return now


def _id(stem: str, name: str) -> str:
    """Of a test, from the qualified name that coverage gives it."""
    inside = name.split(f"{stem}.", 1)[-1].replace(".", "::")
    return f"tests/{stem}.py::{inside}"
