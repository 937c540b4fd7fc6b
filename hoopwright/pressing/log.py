"""A log of a pressing: travel, and force or gauge, as comma-separated text.

    # any line that starts with # is a remark
    travel [mm], gauge [bar]
    0, 0
    5.0, 22

The first line that counts names the columns with their units in brackets: travel, and force or gauge;
others (time, say) are passed over. Travel counts from where the leading end meets the shell.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hoopwright.case import quantity
from hoopwright.case.faults import Faults, shortened

LARGEST = 2 * 1024 * 1024
MOST_ROWS = 20_000
FEWEST_ROWS = 3
LONGEST_LINE = 400
SLACK = 0.02
"""Share of the whole travel by which a log may overshoot: the zero of a scale is set by hand."""

_COLUMN = re.compile(r"\s*(?P<name>[A-Za-z_ ]{1,40}?)\s*[\[(]\s*(?P<unit>[^\])]{1,30})\s*[\])]\s*")
_NUMBER = re.compile(r"\s*[+-]?(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?:[eE][+-]?[0-9]{1,3})?\s*")
KIND = {"travel": "length", "force": "force", "gauge": "stress"}


@dataclass(frozen=True)
class Log:
    """travel: mm, rising; force: N, or None; gauge: MPa, or None. All (rows,)."""

    travel: np.ndarray
    force: np.ndarray | None
    gauge: np.ndarray | None


def read_log(name: str, *, beside: str, whole_travel: float, ram_given: bool = True) -> Log:
    """The log in a file. beside: the case file it is named in. whole_travel: mm.
    ram_given: whether a gauge can be turned into a force. Raises CaseError with one line per fault.
    """
    path = Path(name) if Path(name).is_absolute() else Path(beside).parent / name
    faults = Faults(str(path))
    content = _bytes(path, faults)
    faults.raise_if_any()
    log = parse_log(content, file=str(path), whole_travel=whole_travel)
    if log.force is None and not ram_given:
        faults.add("", "gauge", "a gauge reading says nothing without the ram",
                   'add e.g. ram_diameter = "50 mm" to [press]')
        faults.raise_if_any()
    return log


def parse_log(content: bytes, *, file: str, whole_travel: float) -> Log:
    """The log in the bytes of a file. Raises CaseError with one line per fault."""
    faults = Faults(file)
    lines = _lines(content, faults)
    faults.raise_if_any()
    if not lines:
        faults.add("", "", "empty", 'begin with a line such as: travel [mm], force [kN]')
        faults.raise_if_any()
    columns, mark = _header(lines[0], faults)
    faults.raise_if_any()
    rows = _rows(lines[1:], columns, mark, faults)
    faults.raise_if_any()
    values = {name: np.array([row[k] for row in rows]) for k, name in enumerate(columns)}
    log = Log(values["travel"], values.get("force"), values.get("gauge"))
    _plausible(log, [number for number, _ in lines[1:]], whole_travel, faults)
    faults.raise_if_any()
    return log


def _bytes(path: Path, faults: Faults) -> bytes:
    try:
        if not path.is_file():
            faults.add("", "", "no such log" if not path.exists() else "not a file",
                       "give [press] log relative to the case file")
        elif path.stat().st_size > LARGEST:
            faults.add("", "", f"larger than {LARGEST // 1024**2} MB", "log fewer readings")
        else:
            return path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        faults.add("", "", f"cannot be read: {reason}", "check the name and the permissions")
    return b""


def _lines(content: bytes, faults: Faults) -> list[tuple[int, str]]:
    """The lines that count, with their numbers."""
    if len(content) > LARGEST:
        faults.add("", "", f"larger than {LARGEST // 1024**2} MB", "log fewer readings")
        return []
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        faults.add(f"line {content[: error.start].count(10) + 1}", "", "not UTF-8 text",
                   "save the log as plain comma-separated text")
        return []
    numbered = [(n, line) for n, line in enumerate(re.split(r"\r\n|\n|\r", text), start=1)
                if line.strip() and not line.lstrip().startswith("#")]
    if len(numbered) > MOST_ROWS + 1:
        faults.add("", "", f"more than {MOST_ROWS} readings", "thin it out")
    for number, line in numbered[: MOST_ROWS + 1]:
        if len(line) > LONGEST_LINE:
            faults.add(f"line {number}", "", f"longer than {LONGEST_LINE} characters", "one reading a line")
            break
    return numbered


def _header(line: tuple[int, str], faults: Faults) -> tuple[dict[str, tuple[int, float]], str]:
    """Wanted columns: place and factor to mm, N or MPa; and the mark that separates them."""
    number, text = line
    mark = next((m for m in (";", "\t", ",") if m in text), ",")
    found: dict[str, tuple[int, float]] = {}
    for place, cell in enumerate(text.split(mark)):
        match = _COLUMN.fullmatch(cell)
        name = match["name"].strip().lower() if match else cell.strip().lower()
        if name not in KIND:
            continue
        if match is None:
            faults.add(f"line {number}", name, "no unit in the header", f"write e.g. {_example(name)}")
        elif name in found:
            faults.add(f"line {number}", name, "there twice", "keep one column of each")
        else:
            found[name] = place, _factor(name, match["unit"].strip(), number, faults)
    if "travel" not in found or not {"force", "gauge"} & set(found):
        if not faults.found:
            faults.add(f"line {number}", "", f"header {shortened(text.strip())} lacks travel, or force or "
                                             "gauge",
                       "begin with e.g.: travel [mm], force [kN]")
    elif {"force", "gauge"} <= set(found):
        faults.add(f"line {number}", "", "force and gauge both given", "keep the one that was read")
    return found, mark


def _example(name: str) -> str:
    return {"travel": "travel [mm]", "force": "force [kN]", "gauge": "gauge [bar]"}[name]


def _factor(name: str, unit: str, number: int, faults: Faults) -> float:
    try:
        return quantity.parse(f"1 {unit}", KIND[name])
    except quantity.QuantityError as error:
        faults.add(f"line {number}", f"{name} [{shortened(unit, 20)}]", error.problem,
                   f"write e.g. {_example(name)}")
        return 1.0


def _rows(
    lines: list[tuple[int, str]], columns: dict[str, tuple[int, float]], mark: str, faults: Faults
) -> list[list[float]]:
    """One list per line in the order of the columns; the first faulty line ends it."""
    rows: list[list[float]] = []
    for number, text in lines:
        cells, row = text.split(mark), []
        for name, (place, factor) in columns.items():
            cell = cells[place] if place < len(cells) else ""
            if not _NUMBER.fullmatch(cell):
                faults.add(f"line {number}", name, _what(cell), "write a number with a decimal point")
                return rows
            row.append(float(cell.strip()) * factor)  # float keeps \x1c, which counts as space above
        if not all(abs(value) <= 1e12 for value in row):
            faults.add(f"line {number}", "", "a number out of all range", "check its unit and digits")
            return rows
        rows.append(row)
    return rows


def _what(cell: str) -> str:
    text = cell.strip()
    if not text:
        return "no value"
    return f"{shortened(text, 30)} has a comma" if "," in text else f"{shortened(text, 30)} is not a number"


def _plausible(log: Log, numbers: list[int], whole: float, faults: Faults) -> None:
    travel = log.travel
    read = log.force if log.force is not None else log.gauge
    assert read is not None
    if len(travel) < FEWEST_ROWS:
        faults.add("", "", f"only {len(travel)} readings", f"give at least {FEWEST_ROWS}")
        return
    back = np.flatnonzero(np.diff(travel) < 0.0)
    if len(back):
        faults.add(f"line {numbers[int(back[0]) + 1]}", "travel", "goes back", "log the way in only")
    outside = np.flatnonzero((travel < -SLACK * whole) | (travel > (1.0 + SLACK) * whole))
    if len(outside):
        k = int(outside[0])
        faults.add(f"line {numbers[k]}", "travel", f"{travel[k]:.4g} mm, outside the whole way of "
                                                   f"{whole:.4g} mm",
                   "count it from where the leading end meets the shell")
    if np.any(read < 0.0):
        faults.add(f"line {numbers[int(np.argmin(read))]}", "", "below zero", "set the gauge's zero first")
    elif not np.any(read > 0.0):
        faults.add("", "", "no reading above zero", "give the readings of the pressing itself")
