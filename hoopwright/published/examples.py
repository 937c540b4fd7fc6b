"""Solve the published examples and compare the results with what the sources print."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources
from typing import Any

from hoopwright.case.read import parse_case
from hoopwright.document.check import document
from hoopwright.pipeline import check_case

EXPECTED = ".expected.toml"


@dataclass(frozen=True)
class Comparison:
    """One value of a source beside ours, both in `unit`. within: relative difference that still agrees."""

    what: str
    unit: str
    theirs: float
    ours: float
    within: float

    @property
    def difference(self) -> float:
        """Relative to theirs."""
        return self.ours / self.theirs - 1.0

    @property
    def agrees(self) -> bool:
        return abs(self.difference) <= self.within


@dataclass(frozen=True)
class Example:
    """A published example, solved. label: how its source is known, such as "seen" or "from memory"."""

    name: str
    title: str
    source: str
    label: str
    comparisons: tuple[Comparison, ...]

    @property
    def agrees(self) -> bool:
        return all(c.agrees for c in self.comparisons)


def names() -> list[str]:
    """Names of the examples, in alphabetical order."""
    files = (entry.name for entry in resources.files(__package__).iterdir())
    return sorted(name.removesuffix(EXPECTED) for name in files if name.endswith(EXPECTED))


def solved() -> Iterator[Example]:
    """Every example, solved when it is asked for. Raises fem.SolveError where one cannot be."""
    yield from map(solve, names())


def solve(name: str) -> Example:
    """Solve one example."""
    expected = tomllib.loads(_text(name + EXPECTED))
    results = check_case(parse_case(_text(f"{name}.toml"), file=f"{name}.toml"))
    found = document(results)
    return Example(
        name,
        results.case.title,
        expected["source"]["text"],
        expected["source"]["label"],
        tuple(
            Comparison(v["what"], v["unit"], v["is"], value_at(found, v["path"]), v["within"])
            for v in expected["value"]
            if v["source"] == "book"
        ),
    )


def value_at(found: Any, path: str) -> float:
    """The number at a dotted path; an entry of a list is found by what it says it is."""
    for key in path.split("."):
        found = next(e for e in found if e["what"] == key) if isinstance(found, list) else found[key]
    return float(found)


def _text(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text("utf-8")
