"""Read a press log: travel, and force or gauge pressure, as comma-separated text.

    # a line that starts with # is a comment
    travel [mm], gauge [bar]
    0, 0
    5.0, 22

The first line that is not a comment names the columns, with units in brackets: travel, and force or gauge;
other columns, such as time, are ignored. Travel counts from where the leading end meets the shell.
Columns are separated by commas or, where the header has them, by semicolons or tabs. Numbers have a decimal
point and nothing between thousands, and every line as many cells as the header: a comma within a number
would otherwise part it into two.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hoopwright.case import quantity
from hoopwright.case.faults import Faults, shortened
from hoopwright.case.reader_units import System, example_for, lengths_in

MAX_BYTES = 2 * 1024 * 1024
MAX_ROWS = 20_000
MIN_ROWS = 3
MAX_LINE_LENGTH = 400
TRAVEL_TOLERANCE = 0.02
"""Share of the total travel by which a log may overshoot, because the zero of a scale is set by hand."""

_COLUMN = re.compile(r"\s*(?P<name>[A-Za-z_ ]{1,40}?)\s*[\[(]\s*(?P<unit>[^\])]{1,30})\s*[\])]\s*")
_NUMBER = re.compile(r"\s*[+-]?(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?:[eE][+-]?[0-9]{1,3})?\s*")
QUANTITY_KIND = {"travel": "length", "force": "force", "gauge": "stress"}


@dataclass(frozen=True)
class PressLog:
    """Readings of a press log, all (rows,). travel: rising, mm; force: N, or None; gauge: MPa, or None."""

    travel: np.ndarray
    force: np.ndarray | None
    gauge: np.ndarray | None


def read_log(
    name: str, *, beside: str, whole_travel: float, ram_given: bool = True, system: System = "metric"
) -> PressLog:
    """Read the log from a file.

    beside: the case file, to which the name is relative. whole_travel: mm. ram_given: whether the ram is
    known, so that gauge pressure gives a force. system: of the reader. Raises CaseError with one line
    per fault.
    """
    path = Path(name) if Path(name).is_absolute() else Path(beside).parent / name
    faults = Faults(str(path))
    content = _read_bytes(path, faults)
    faults.raise_if_any()
    log = parse_log(content, file=str(path), whole_travel=whole_travel, system=system)
    if log.force is None and not ram_given:
        faults.add(
            "",
            "gauge",
            "a gauge reading gives no force without the diameter of the ram",
            f'add e.g. ram_diameter = "{example_for("50 mm", system)}" to [press]',
        )
        faults.raise_if_any()
    return log


def parse_log(content: bytes, *, file: str, whole_travel: float, system: System = "metric") -> PressLog:
    """Parse the log from the bytes of a file. Raises CaseError with one line per fault."""
    faults = Faults(file)
    found = _read(content, faults)
    values = {name: np.array([row.values[name] for row in found.rows]) for name in found.header.columns}
    log = PressLog(values["travel"], values.get("force"), values.get("gauge"))
    _check_plausible(log, [row.line for row in found.rows], whole_travel, faults, system)
    faults.raise_if_any()
    return log


@dataclass(frozen=True)
class LogRow:
    """A reading of a log. line: its number, from 1. values: by the name of the column, mm, N or MPa."""

    line: int
    values: Mapping[str, float]


@dataclass(frozen=True)
class OpenLog:
    """A log that may still grow: no reading need be in it yet."""

    header: Header
    rows: tuple[LogRow, ...]

    @property
    def quantity(self) -> str:
        """What was read: force or gauge."""
        return "gauge" if "gauge" in self.header.columns else "force"


def open_log(content: bytes, *, file: str) -> OpenLog:
    """The readings that a log has so far. Raises CaseError with one line per fault, of what stands in it
    and not of what it lacks."""
    return _read(content, Faults(file))


def _read(content: bytes, faults: Faults) -> OpenLog:
    lines = _lines(content, faults)
    faults.raise_if_any()
    if not lines:
        faults.add("", "", "empty", "begin with a line such as: travel [mm], force [kN]")
        faults.raise_if_any()
    header = _header(lines[0], faults)
    faults.raise_if_any()
    rows = _rows(lines[1:], header, faults)
    faults.raise_if_any()
    numbered = zip((number for number, _ in lines[1:]), rows, strict=True)
    return OpenLog(
        header,
        tuple(LogRow(number, dict(zip(header.columns, row, strict=True))) for number, row in numbered),
    )


def _read_bytes(path: Path, faults: Faults) -> bytes:
    try:
        if not path.is_file():
            faults.add(
                "",
                "",
                "no such log" if not path.exists() else "not a file",
                "give [press] log relative to the case file",
            )
        elif path.stat().st_size > MAX_BYTES:
            faults.add("", "", f"larger than {MAX_BYTES // 1024**2} MB", "log fewer readings")
        else:
            return path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        faults.add("", "", f"cannot be read: {reason}", "check the name and the permissions")
    return b""


def _lines(content: bytes, faults: Faults) -> list[tuple[int, str]]:
    """The lines that are neither blank nor comments, with their line numbers."""
    if len(content) > MAX_BYTES:
        faults.add("", "", f"larger than {MAX_BYTES // 1024**2} MB", "log fewer readings")
        return []
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        faults.add(
            f"line {content[: error.start].count(10) + 1}",
            "",
            "not UTF-8 text",
            "save the log as plain comma-separated text",
        )
        return []
    numbered = [
        (n, line)
        for n, line in enumerate(re.split(r"\r\n|\n|\r", text), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if len(numbered) > MAX_ROWS + 1:
        faults.add("", "", f"more than {MAX_ROWS} readings", "log fewer readings")
    for number, line in numbered[: MAX_ROWS + 1]:
        if len(line) > MAX_LINE_LENGTH:
            faults.add(
                f"line {number}", "", f"longer than {MAX_LINE_LENGTH} characters", "one reading a line"
            )
            break
    return numbered


@dataclass(frozen=True)
class Header:
    """First line of a log. columns: index and factor to mm, N or MPa of each one used. cells: in a line."""

    columns: dict[str, tuple[int, float]]
    separator: str
    cells: int


def _header(line: tuple[int, str], faults: Faults) -> Header:
    number, text = line
    separator = next((m for m in (";", "\t", ",") if m in text), ",")
    found: dict[str, tuple[int, float]] = {}
    cells = text.split(separator)
    for index, cell in enumerate(cells):
        match = _COLUMN.fullmatch(cell)
        name = match["name"].strip().lower() if match else cell.strip().lower()
        if name not in QUANTITY_KIND:
            continue
        if match is None:
            faults.add(f"line {number}", name, "no unit in the header", f"write e.g. {_example(name)}")
        elif name in found:
            faults.add(f"line {number}", name, "given twice", "keep one column of each")
        else:
            found[name] = index, _factor(name, match["unit"].strip(), number, faults)
    if "travel" not in found or not {"force", "gauge"} & set(found):
        if not faults.found:
            faults.add(
                f"line {number}",
                "",
                f"header {shortened(text.strip())} lacks travel, or force or gauge",
                "begin with e.g.: travel [mm], force [kN]",
            )
    elif {"force", "gauge"} <= set(found):
        faults.add(f"line {number}", "", "force and gauge both given", "keep the one that was read")
    return Header(found, separator, len(cells))


def _example(name: str) -> str:
    return {"travel": "travel [mm]", "force": "force [kN]", "gauge": "gauge [bar]"}[name]


def _factor(name: str, unit: str, number: int, faults: Faults) -> float:
    try:
        return quantity.parse(f"1 {unit}", QUANTITY_KIND[name])
    except quantity.QuantityError as error:
        faults.add(
            f"line {number}",
            f"{name} [{shortened(unit, 20)}]",
            error.problem,
            f"write e.g. {_example(name)}",
        )
        return 1.0


def _rows(lines: list[tuple[int, str]], header: Header, faults: Faults) -> list[list[float]]:
    """One list of values per line, in the order of the columns; stops at the first faulty line."""
    rows: list[list[float]] = []
    for number, text in lines:
        cells, row = text.split(header.separator), []
        if len(cells) > header.cells:
            problem = f"{len(cells)} cells, where the header names {header.cells}"
            faults.add(f"line {number}", "", f"{problem}: {shortened(text.strip(), 40)}", _SURPLUS)
            return rows
        for name, (index, factor) in header.columns.items():
            cell = cells[index] if index < len(cells) else ""
            if not _NUMBER.fullmatch(cell):
                faults.add(f"line {number}", name, *_cell_fault(cell))
                return rows
            row.append(float(cell.strip()) * factor)  # float() does not strip \x1c, which \s above accepts
        if len(cells) < header.cells:
            problem = f"{len(cells)} cells, where the header names {header.cells}"
            faults.add(f"line {number}", "", problem, "write one cell for every column, empty where unread")
            return rows
        if not all(abs(value) <= 1e12 for value in row):
            faults.add(f"line {number}", "", "a number out of range", "check its unit and digits")
            return rows
        rows.append(row)
    return rows


_SURPLUS = (
    "a decimal comma (5,5) or a thousands separator (7,183) parts a number in two: write 5.5 and 7183, and "
    "nothing after the last cell"
)


def _cell_fault(cell: str) -> tuple[str, str]:
    """What is wrong with a cell that is no number, and what to write instead."""
    text, advice = cell.strip(), "write a number with a decimal point"
    if not text:
        return "no value", advice
    if "," in text:  # 7,183 may be 7.183 or 7183: not for the reader to guess
        problem = f"{shortened(text, 30)} has a comma, which may mark decimals or thousands"
        return problem, "write e.g. 5.5 for 5,5 and 7183 for 7,183"
    return f"{shortened(text, 30)} is not a number", advice


def _check_plausible(
    log: PressLog, numbers: list[int], whole: float, faults: Faults, system: System
) -> None:
    travel = log.travel
    values = log.force if log.force is not None else log.gauge
    assert values is not None
    if len(travel) < MIN_ROWS:
        faults.add("", "", f"only {len(travel)} readings", f"give at least {MIN_ROWS}")
        return
    decreasing = np.flatnonzero(np.diff(travel) < 0.0)
    if len(decreasing):
        faults.add(
            f"line {numbers[int(decreasing[0]) + 1]}", "travel", "decreases", "log the stroke in only"
        )
    outside = np.flatnonzero(
        (travel < -TRAVEL_TOLERANCE * whole) | (travel > (1.0 + TRAVEL_TOLERANCE) * whole)
    )
    if len(outside):
        k = int(outside[0])
        faults.add(
            f"line {numbers[k]}",
            "travel",
            lengths_in(f"{travel[k]:.4g} mm, outside the total travel of {whole:.4g} mm", system),
            "count it from where the leading end meets the shell",
        )
    if np.any(values < 0.0):
        faults.add(f"line {numbers[int(np.argmin(values))]}", "", "below zero", "zero the gauge first")
    elif not np.any(values > 0.0):
        faults.add("", "", "no reading above zero", "give the readings of the pressing itself")
