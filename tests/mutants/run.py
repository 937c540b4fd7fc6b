"""Run the tests that cover a mutant until one of them fails."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.covered import Covered, collected
from tests.mutants.mutator import Mutant
from tests.mutants.tree import ROOT, Tree, WarmPytest

PATIENCE = 4.0
"""Times as long as its tests took that a mutant may run, besides a minute; one that runs longer hangs."""
PASSED, FAILED, BROKEN = 0, 1, 2
"""Statuses of pytest: what stops it from being read at all is a fault found, too."""
NO_TESTS = 5


@dataclass(frozen=True)
class Outcome:
    """killed: whether a test failed, or none came to an end; by: which did, "" where none."""

    killed: bool
    by: str


class Runner:
    """Runs mutants in one copy of the sources.

    The tests that ran the line when it was recorded come first, then those written since, then the whole
    files that ran it, since their tests may judge a value that another had cached: as many of them as take
    the seconds given.
    """

    def __init__(self, tree: Tree, folder: Path, covered: Covered, *, seconds: float) -> None:
        self._tree, self._covered, self._seconds = tree, covered, seconds
        self._log, self._pytest = folder / "log.txt", WarmPytest(tree)
        self._known = collected(tree, folder)
        recorded = json.loads((folder / "tests.json").read_text(encoding="utf-8"))
        self._new = sorted(self._known.difference(recorded))

    def outcome(self, mutant: Mutant) -> Outcome:
        self._tree.write(mutant.path, mutant.source)
        try:
            return self._outcome(mutant)
        finally:
            self._tree.write(mutant.path, (ROOT / mutant.path).read_text(encoding="utf-8"))

    def _outcome(self, mutant: Mutant) -> Outcome:
        places = [(mutant.path, line) for line in range(mutant.line, mutant.last_line + 1)]
        files = set().union(*(self._covered.files.get(place, ()) for place in places))
        nearest = self._nearest_first(self._covered.nearest(places) & self._known)
        tried, left = self._within(self._seconds, nearest, self._per_test)
        whole = sorted((f"tests/{stem}.py" for stem in files), key=self._per_file)
        for words in (tried, self._new, self._within(left, whole, self._per_file)[0]):
            if words:
                found = self._run(words)
                if found.killed:
                    return found
        return Outcome(False, "" if files or self._new else "no test runs it")

    def _nearest_first(self, tests: set[str]) -> list[str]:
        """File by file, for what they set up; first the file with the test that runs the fewest lines."""
        by_file: dict[str, list[str]] = {}
        for test in sorted(tests, key=lambda test: (self._covered.lines[test], test)):
            by_file.setdefault(test.partition("::")[0], []).append(test)
        return [test for of_file in by_file.values() for test in of_file]

    def _within(
        self, seconds: float, words: list[str], cost: Callable[[str], float]
    ) -> tuple[list[str], float]:
        """The first of the words that take no more than so many seconds, and what is left of these."""
        for k, word in enumerate(words):
            if cost(word) > seconds:
                return words[:k], seconds
            seconds -= cost(word)
        return words, seconds

    def _per_file(self, word: str) -> float:
        """How long a file takes, s; a minute where that is not known."""
        return self._covered.seconds.get(Path(word.partition("::")[0]).stem, 60.0)

    def _per_test(self, test: str) -> float:
        """How long a test takes on the average of its file, s."""
        file = test.partition("::")[0]
        return self._per_file(test) / sum(one.startswith(f"{file}::") for one in self._known)

    def _run(self, words: list[str]) -> Outcome:
        seconds = sum(self._per_file(file) for file in {word.partition("::")[0] for word in words})
        options = ["-x", "-q", "--tb=line", "-p", "no:cacheprovider"]
        status = self._pytest.run([*options, *words], seconds=60.0 + PATIENCE * seconds, log=self._log)
        if status is None:
            return Outcome(True, "no end")
        if status in (PASSED, NO_TESTS):
            return Outcome(False, "")
        output = self._log.read_text(encoding="utf-8")
        failed = [line.split()[1] for line in output.splitlines() if line.startswith(("FAILED ", "ERROR "))]
        if status not in (FAILED, BROKEN) or not failed:
            raise RuntimeError(f"pytest ended with {status}:\n{output}")
        return Outcome(True, failed[0].removeprefix("tests/"))
