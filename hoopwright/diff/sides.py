"""One side of a difference: a record as it stands, or a case file that is checked now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from hoopwright.case import own_materials
from hoopwright.case.faults import Faults
from hoopwright.case.model import Case
from hoopwright.case.read import read_case
from hoopwright.case.toml_file import STANDARD_INPUT, read_bytes, toml_tables
from hoopwright.document.check import document
from hoopwright.errors import RecordError
from hoopwright.pipeline import check_case
from hoopwright.record.case_inputs import log_name
from hoopwright.record.file_names import RESULTS
from hoopwright.record.reader import StoredRecord, read_record


@dataclass(frozen=True)
class Side:
    """name: as the user gave it. kind: "record" or "case". inputs: the tables of its case file. results:
    the document of its check. units: of its case. notes: what is wrong with a record."""

    name: str
    kind: str
    inputs: Mapping[str, Any]
    results: Mapping[str, Any]
    units: str
    notes: tuple[str, ...] = ()


def read_side(name: str) -> Side:
    """Read a record, given as its folder or its results.json, or check a case file.

    Raises RecordError, CaseError, fem.MeshError or fem.SolveError.
    """
    path = Path(name)
    if path.is_dir() or path.name == RESULTS:
        return _of_record(name, read_record(path if path.is_dir() else path.parent))
    faults = Faults(name)
    if name == STANDARD_INPUT:
        faults.add("", "", "standard input cannot be compared", "save it to a file first")
        faults.raise_if_any()
    case = read_case(path)
    inputs = with_log(case_inputs(path), path.parent, case.press.log)
    return Side(name, "case", inputs, document(check_case(case)), case.units)


def side_of(case: Case, text: str) -> Side:
    """A case that was read from this text, checked now. Raises as read_side does."""
    faults = Faults(case.file)
    tables = toml_tables(text.encode("utf-8"), faults)
    faults.raise_if_any()
    folder = Path(case.file).parent
    inputs = with_log(_with_materials(tables, folder), folder, case.press.log)
    return Side(case.file, "case", inputs, document(check_case(case)), case.units)


def _of_record(name: str, stored: StoredRecord) -> Side:
    results = stored.results
    if results["record"].get("kind") == "comparison":
        raise RecordError.at(name, "the record of a comparison", "give that of a repair")
    if not _has_margins(results):
        problem = f"{RESULTS} has no margins by stage: damaged, or of an older version"
        raise RecordError.at(name, problem, "record it again")
    notes = [f"changed since the record was written: {file}" for file in stored.changed]
    notes += [f"missing: {file}" for file in stored.missing]
    if stored.case_mismatch:
        notes.append(f"its case file is not the one it was made from: {stored.case.name}")
    inputs = case_inputs(stored.case)
    inputs = with_log(inputs, stored.case.parent, log_name(_log_of(inputs)))
    units = "inch" if inputs.get("units") == "inch" else "metric"
    return Side(name, "record", inputs, results, units, tuple(notes))


def case_inputs(path: Path) -> dict[str, Any]:
    """The tables of a case file, with the materials of the file that it names as if they were its own."""
    return _with_materials(_tables(path), path.parent)


def _with_materials(tables: dict[str, Any], folder: Path) -> dict[str, Any]:
    name = tables.get(own_materials.KEY.name)
    if isinstance(name, str) and name and not own_materials.leads_outside(name):
        beside = _tables(folder / own_materials.posix(name))
        rows = [one["material"] for one in (beside, tables) if isinstance(one.get("material"), dict)]
        tables["material"] = {key: row for found in rows for key, row in found.items()}
    return tables


def with_log(tables: dict[str, Any], folder: Path, log: str) -> dict[str, Any]:
    """The tables with what is in the press log beside its name: it is an input, and one that grows."""
    press = tables.get("press")
    if not _log_of(tables) or not isinstance(press, dict):
        return tables
    try:
        content = (folder / log).read_bytes()
    except OSError:
        return tables  # told where it is read, or as missing from the record
    digest, count = sha256(content).hexdigest()[:12], len(content.splitlines())
    return {**tables, "press": {**press, "log": f"{_log_of(tables)}: {count} lines, SHA-256 {digest}"}}


def _log_of(tables: Mapping[str, Any]) -> str:
    press = tables.get("press")
    log = press.get("log") if isinstance(press, dict) else None
    return log if isinstance(log, str) else ""


def _tables(path: Path) -> dict[str, Any]:
    faults = Faults(str(path))
    tables = toml_tables(read_bytes(path, faults), faults)
    faults.raise_if_any()
    return tables


def _has_margins(results: Mapping[str, Any]) -> bool:
    """Whether a document holds a verdict and rows with their cells, as `check` writes them."""
    rows = results.get("checks")
    texts = (results.get("verdict"), results.get("state"), results["case"].get("title"))
    return isinstance(rows, list) and all(map(_is_row, rows)) and all(isinstance(t, str) for t in texts)


def _is_row(row: Any) -> bool:
    return (
        isinstance(row, dict)
        and all(isinstance(row.get(key), str) for key in ("id", "title"))
        and isinstance(row.get("cells"), list)
        and all(map(_is_cell, (row, *row["cells"])))
    )


def _is_cell(cell: Any) -> bool:
    return (
        isinstance(cell, dict)
        and isinstance(cell.get("state"), str)
        and isinstance(cell.get("where"), dict)
        and isinstance(cell["where"].get("stage"), str)
        and "margin" in cell
        and (cell["margin"] is None or type(cell["margin"]) in (int, float))
    )
