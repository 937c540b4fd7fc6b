"""Does a record still come out? Everything is computed again from its case file, and held beside it.

A number comes out when it differs by no more than 1e-6 of itself, or by no more than 1e-9 in its own
unit: results carry nine digits, and another processor or library may end a sum in other last digits. The
ends of the window are found by a search and come out within the 0.02 µm it searches to, twice over.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from hoopwright.case.read import read_case
from hoopwright.display import Units
from hoopwright.pipeline import check_case
from hoopwright.record.document import record_document
from hoopwright.record.gather import gather
from hoopwright.record.kept import Kept, read_record
from hoopwright.record.parts import log_name
from hoopwright.record.progress import Progress, silent

RELATIVE, ABSOLUTE = 1e-6, 1e-9
SEARCHED = {"window.": 0.04, "decision.probability": 1e-3}
"""Absolute tolerance of what is found by a search, by the start of its path."""
NOT_NUMBERS = ("tool.", "versions.")
"""Told by themselves: what the record was made with."""
GONE = "not there"


@dataclass(frozen=True)
class Move:
    """One value that does not come out. old, new: as in results.json, or GONE."""

    path: str
    old: Any
    new: Any

    @property
    def relative(self) -> float | None:
        """new/old − 1, None where that says nothing."""
        if not (_number(self.old) and _number(self.new)) or self.old == 0.0:
            return None
        return float(self.new / self.old - 1.0)


@dataclass(frozen=True)
class Verified:
    """moves: what does not come out. numbers: how many were held against each other. other: what the
    record was made with and this run was not, as (name, then, now)."""

    kept: Kept
    moves: tuple[Move, ...]
    numbers: int
    other: tuple[tuple[str, str, str], ...]

    @property
    def holds(self) -> bool:
        return not (self.moves or self.kept.changed or self.kept.missing or self.kept.stranger)


def verify(folder: Path, progress: Progress = silent) -> Verified:
    """Compute a record again. Raises RecordError for what is no record; CaseError, fem.MeshError and
    fem.SolveError as a check of its case file does."""
    progress("reading")
    kept = read_record(folder)
    progress("computing again")
    now = recomputed(kept, progress)
    progress("comparing")
    moves = tuple(differences(kept.results, now))
    made = {**_texts(kept.results["versions"]), kept.results["tool"].get("name", "tool"):
            str(kept.results["tool"].get("version"))}
    present = {**_texts(now["versions"]), now["tool"]["name"]: now["tool"]["version"]}
    other = tuple((name, made.get(name, GONE), present.get(name, GONE))
                  for name in {**made, **present} if made.get(name) != present.get(name))
    return Verified(kept, moves, sum(1 for _ in _numbers(kept.results)), other)


def recomputed(kept: Kept, progress: Progress) -> dict[str, Any]:
    """results.json as this version gives it, from the case file of the record."""
    case = read_case(kept.case)
    if case.press.log:
        case = replace(case, press=replace(case.press, log=log_name(case.press.log)))
    shown = kept.results["record"].get("shown_in")
    units = Units(shown if shown in ("metric", "inch") else case.units)
    if kept.results["record"].get("kind") == "comparison":
        from hoopwright.record.compared import again

        return again(case, kept.results, units)
    return record_document(gather(check_case(case), units, progress))


def differences(old: Any, new: Any, path: str = "") -> Iterator[Move]:
    """Every value of two documents that does not come out, in the order of the old one."""
    if path.startswith(NOT_NUMBERS) and path.count(".") == 1 and not isinstance(old, dict):
        return
    if isinstance(old, dict) and isinstance(new, dict):
        for key in {**old, **new}:
            name = f"{path}.{key}" if path else str(key)
            yield from differences(old.get(key, GONE), new.get(key, GONE), name)
    elif isinstance(old, list) and isinstance(new, list):
        yield from differences(_named(old), _named(new), path)
    elif not comes_out(old, new, path):
        yield Move(path, _short(old), _short(new))


def comes_out(old: Any, new: Any, path: str) -> bool:
    """Whether two single values are the same within the tolerances above."""
    if not (_number(old) and _number(new)):
        return type(old) is type(new) and bool(old == new)
    absolute = next((t for start, t in SEARCHED.items() if path.startswith(start)), ABSOLUTE)
    return math.isclose(old, new, rel_tol=RELATIVE, abs_tol=absolute)


def _named(rows: list[Any]) -> dict[str, Any]:
    """Rows by their id or name where all have one of their own, so that another order moves nothing;
    else by their place."""
    for key in ("id", "name"):
        names = [row.get(key) if isinstance(row, dict) else None for row in rows]
        if rows and all(isinstance(n, str) for n in names) and len(set(names)) == len(names):
            return {str(n): row for n, row in zip(names, rows, strict=True)}
    return {str(k): row for k, row in enumerate(rows)}


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _numbers(value: Any) -> Iterator[float]:
    if isinstance(value, Mapping):
        value = list(value.values())
    if isinstance(value, list):
        for inner in value:
            yield from _numbers(inner)
    elif _number(value):
        yield value


def _texts(values: Mapping[str, Any]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}


def _short(value: Any) -> Any:
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    return value


