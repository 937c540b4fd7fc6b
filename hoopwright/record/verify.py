"""Verify a record: hold its files against their fixed set and checksums, recompute its results from its
case file and compare every value, and typeset its pages again.

A number is reproduced when it differs by no more than 1e-6 of itself, or by no more than 1e-9 in its own
unit: results carry nine digits, and the last digits of a sum depend on processor and libraries. The ends
of the window are found by a search to 0.02 µm and are allowed twice that.
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
from hoopwright.record.case_inputs import log_name, materials_name
from hoopwright.record.document import record_document
from hoopwright.record.file_names import PAGES, RESULTS
from hoopwright.record.file_set import is_revolved, with_file_set
from hoopwright.record.gather import gather
from hoopwright.record.progress import Progress, silent
from hoopwright.record.reader import StoredRecord, read_record
from hoopwright.record.seal import SealFaults, seal_faults
from hoopwright.record.tied_pages import TYPESET_BY, TiedPages, tied_pages

REL_TOL, ABS_TOL = 1e-6, 1e-9
SEARCH_TOLERANCES = {
    "window.": 0.04,
    "decision.probability": 1e-3,
    "decision.off_sleeve_um": 0.04,
    "came_out.": 4e-5,
}
"""Absolute tolerances of values that a search finds, by the start of their path; sizes under `came_out` are
in mm."""
PROVENANCE_PREFIXES = ("tool.", "versions.")
"""Start of paths reported apart: what the record was made with."""
ABSENT = "not there"


@dataclass(frozen=True)
class Mismatch:
    """One value that is not reproduced. old, new: as in results.json, or ABSENT where it is not there."""

    path: str
    old: Any
    new: Any

    @property
    def relative(self) -> float | None:
        """new/old − 1; None where either is not a number or old is zero."""
        if not (_number(self.old) and _number(self.new)) or self.old == 0.0:
            return None
        return float(self.new / self.old - 1.0)


@dataclass(frozen=True)
class VerificationResult:
    """Result of verifying a record.

    files: the fixed set, SHA256SUMS apart. seal: what is wrong with them. pages: whether they are those of
    the results. mismatches: values not reproduced. numbers: how many numbers were compared.
    version_changes: versions that differ from those the record was made with, as (name, then, now).
    """

    stored: StoredRecord
    files: tuple[str, ...]
    seal: SealFaults
    pages: TiedPages
    mismatches: tuple[Mismatch, ...]
    numbers: int
    version_changes: tuple[tuple[str, str, str], ...]

    @property
    def holds(self) -> bool:
        return not (self.mismatches or self.seal.any or self.pages.fault or self.stored.case_mismatch)

    @property
    def recomputed(self) -> tuple[str, ...]:
        """The files that were made again: the results, and the pages where they could be typeset."""
        return (RESULTS,) if self.pages.untried or self.pages.fault else (RESULTS, PAGES)

    @property
    def only_hashed(self) -> tuple[str, ...]:
        """The files of which no more is known than that their checksum is that of SHA256SUMS."""
        more = {*self.recomputed, *self.inputs}
        return tuple(name for name in self.files if name not in more)

    @property
    def inputs(self) -> tuple[str, ...]:
        """The files that the results were recomputed from: the case, and the materials and the press log
        it names."""
        results = self.stored.results
        log = results.get("settings", {}).get("press_log")
        return (self.stored.case.name, *materials_name(results), *((log,) if log else ()))


def verify(folder: Path, progress: Progress = silent) -> VerificationResult:
    """Recompute a record and compare it with what is stored.

    Raises RecordError for a folder that is not a record; CaseError, fem.MeshError and fem.SolveError as a
    check of its case file would.
    """
    progress("reading")
    stored = read_record(folder)
    progress("recomputing")
    now = recomputed(stored, progress)
    progress("comparing")
    mismatches = tuple(differences(stored.results, now))
    made = {
        **_as_strings(stored.results["versions"]),
        stored.results["tool"].get("name", "tool"): str(stored.results["tool"].get("version")),
    }
    present = {**_as_strings(now["versions"]), now["tool"]["name"]: now["tool"]["version"]}
    version_changes = tuple(
        (name, made.get(name, ABSENT), present.get(name, ABSENT))
        for name in {**made, **present}
        if made.get(name) != present.get(name)
    )
    files, numbers = tuple(now["files"]), sum(1 for _ in _numbers(stored.results))
    progress("typesetting the pages")
    other = next((f"{name} {then} made it" for name, then, _ in version_changes if name in TYPESET_BY), "")
    pages = tied_pages(
        stored, files, not_again=other or (f"{RESULTS} is not reproduced" if mismatches else "")
    )
    seal = seal_faults(stored, files)
    return VerificationResult(stored, files, seal, pages, mismatches, numbers, version_changes)


def recomputed(stored: StoredRecord, progress: Progress) -> dict[str, Any]:
    """Content of results.json as this version computes it from the record's case file."""
    case = read_case(stored.case)
    if case.press.log:
        case = replace(case, press=replace(case.press, log=log_name(case.press.log)))
    shown = stored.results["record"].get("shown_in")
    units = Units(shown if shown in ("metric", "inch") else case.units)
    if stored.results["record"].get("kind") == "comparison":
        from hoopwright.record.comparison import recompute_comparison

        now = recompute_comparison(case, stored.results, units)
    else:
        now = record_document(gather(check_case(case), units, progress))
    return with_file_set(now, stored.case.name, revolved=is_revolved(stored.results))


def differences(old: Any, new: Any, path: str = "") -> Iterator[Mismatch]:
    """Every value in which two documents differ beyond tolerance, in the order of the old one."""
    if path.startswith(PROVENANCE_PREFIXES) and path.count(".") == 1 and not isinstance(old, dict):
        return
    if isinstance(old, dict) and isinstance(new, dict):
        for key in {**old, **new}:
            name = f"{path}.{key}" if path else str(key)
            yield from differences(old.get(key, ABSENT), new.get(key, ABSENT), name)
    elif isinstance(old, list) and isinstance(new, list):
        yield from differences(_keyed(old), _keyed(new), path)
    elif not agrees(old, new, path):
        yield Mismatch(path, _summary(old), _summary(new))


def agrees(old: Any, new: Any, path: str) -> bool:
    """Whether two scalar values agree within the tolerances above; other types must be equal."""
    if not (_number(old) and _number(new)):
        return type(old) is type(new) and bool(old == new)
    absolute = next((t for start, t in SEARCH_TOLERANCES.items() if path.startswith(start)), ABS_TOL)
    return math.isclose(old, new, rel_tol=REL_TOL, abs_tol=absolute)


def _keyed(rows: list[Any]) -> dict[str, Any]:
    """Rows keyed by id or name where those are unique, so that order does not matter; else by index."""
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


def _as_strings(values: Mapping[str, Any]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}


def _summary(value: Any) -> Any:
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    return value
