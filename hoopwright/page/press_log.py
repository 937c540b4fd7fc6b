"""The press log of a case as the page goes on with it: what stands in it stays as it is written, also what
was misread, and whether somebody has answered a reading above the stop line stands in it too."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hoopwright.case.quantity import converted
from hoopwright.errors import CaseError, Fault
from hoopwright.page.bench import own_log_name
from hoopwright.page.case_files import LOG_ENDING, name_problem
from hoopwright.page.model import Bench, BesideText, Edit
from hoopwright.page.press_line import newtons_of
from hoopwright.pressing.press_log import MIN_ROWS, OpenLog, open_log

ANSWERED = "# pressure off"
"""How the comment begins that stands below a reading above the stop line once the pressure is off."""
STRUCK = re.compile(r"#\s*(.+), misread\s*")
SAME_UNIT = 1e-9
DIGITS = 6
"""Significant digits of a number that is converted into the units of a log."""


@dataclass(frozen=True)
class Row:
    """A reading. line: its number in the file, from 1. travel: mm. force: N. shown: the number read, as it
    is written, and unit_value, MPa or N, what it is. answered: the pressure was taken off after it."""

    line: int
    travel: float
    force: float
    shown: str
    value: float
    answered: bool


@dataclass(frozen=True)
class Log:
    """What was read so far. beside: the file. named: the case names it. problem: why it cannot be read or
    gone on with, "" where it can. struck: readings that were misread, in words."""

    beside: BesideText
    named: bool
    opened: OpenLog | None
    rows: tuple[Row, ...]
    struck: tuple[str, ...]
    problem: str = ""

    @property
    def last(self) -> Row | None:
        return self.rows[-1] if self.rows else None


def log_of(bench: Bench) -> Log:
    """The log that the case names, else the one that the page keeps of it."""
    beside = bench.log or bench.own_log or BesideText(own_log_name(bench.file))
    named = bench.log is not None
    empty = Log(beside, named, None, (), ())
    problem = name_problem(beside.name, LOG_ENDING)
    if problem is not None:
        return _with_problem(empty, f"{beside.name}: {problem}; take it out of the case to begin one here")
    if not beside.digest:
        return empty
    if "\ufffd" in beside.text:
        return _with_problem(empty, f"{beside.name} is not UTF-8 text: save it as plain text")
    try:
        opened = open_log(beside.text.encode("utf-8"), file=beside.name)
    except CaseError as error:
        return _with_problem(empty, "; ".join(map(_said, error.faults)))
    return _with_rows(empty, opened, bench)


def _with_problem(log: Log, words: str) -> Log:
    return Log(log.beside, log.named, None, (), (), words)


def _said(fault: Fault) -> str:
    place = " ".join(part for part in (fault.file, fault.table, fault.key) if part)
    return f"{place}: {fault.problem}" + (f"; {fault.advice}" if fault.advice else "")


def _with_rows(log: Log, opened: OpenLog, bench: Bench) -> Log:
    lines = _lines(log.beside.text)
    ram = None if bench.case is None else bench.case.press.ram_diameter_mm
    quantity, rows = opened.quantity, []
    index = opened.header.columns[quantity][0]
    for row in opened.rows:
        value = row.values[quantity]
        force = newtons_of(quantity, value, ram)
        if force is None:
            words = f"{log.beside.name} has the readings of a gauge, and no ram is known: give its diameter"
            return _with_problem(log, words)
        shown = lines[row.line - 1].split(opened.header.separator)[index].strip()
        rows.append(Row(row.line, row.values["travel"], force, shown, value, _is_answered(lines, row.line)))
    found = (STRUCK.fullmatch(line.strip()) for line in lines)
    return Log(log.beside, log.named, opened, tuple(rows), tuple(m[1] for m in found if m))


def _is_answered(lines: list[str], number: int) -> bool:
    """Whether a comment below a line says that the pressure was taken off, before the next reading; what
    stands below one that was struck out was its answer."""
    for line in lines[number:]:
        if (line.strip() and not line.lstrip().startswith("#")) or STRUCK.fullmatch(line.strip()):
            return False
        if line.strip().startswith(ANSWERED):
            return True
    return False


def _lines(text: str) -> list[str]:
    """As the reader of logs numbers them."""
    return re.split(r"\r\n|\n|\r", text.removeprefix("\ufeff"))


@dataclass(frozen=True)
class Reading:
    """What is to be written. travel: mm; force: N; value: what was read, MPa or N. typed: travel and value
    as typed where they are plain numbers, else ""."""

    travel: float
    force: float
    value: float
    typed: tuple[str, str] = ("", "")


def with_readings(log: Log, readings: list[Reading], units: tuple[str, str]) -> str:
    """The text of the log with readings behind the last. units: of travel and reading, as a new log has
    them."""
    text, opened = log.beside.text, log.opened
    if opened is None:
        text = f"travel [{units[0]}], {quantity_of(units[1])} [{units[1]}]\n"
        opened = open_log(text.encode(), file=log.beside.name)
    ending = "\r\n" if "\r\n" in text else "\n"
    if text and not text.endswith(("\n", "\r")):
        text += ending
    return text + "".join(f"{_written(opened, one, units)}{ending}" for one in readings)


def _written(opened: OpenLog, one: Reading, units: tuple[str, str]) -> str:
    """A line in the columns of the log, the others empty."""
    header, quantity = opened.header, opened.quantity
    cells = [""] * header.cells
    as_read = quantity == quantity_of(units[1])
    machine = "N" if quantity_of(units[1]) == "force" else "MPa"
    for name, value, typed, unit in (
        ("travel", one.travel, one.typed[0], converted(1.0, units[0], "mm")),
        (quantity, one.value if as_read else one.force, one.typed[1], converted(1.0, units[1], machine)),
    ):
        index, factor = header.columns[name]
        same = (name == "travel" or as_read) and abs(unit - factor) <= SAME_UNIT * factor
        cells[index] = typed if typed and same else f"{value / factor:.{DIGITS}g}"
    return f"{header.separator} ".join(cells) if header.separator == "," else header.separator.join(cells)


def quantity_of(unit: str) -> str:
    """What is read in a unit: force or gauge."""
    return "force" if unit in ("kN", "lbf") else "gauge"


def struck_out(log: Log, row: Row, words: str) -> str:
    """The text of the log with a reading as a comment: it was misread. words: e.g. "64 bar at 60 mm"."""
    return _replaced(log, row.line, [f"# {words}, misread"])


def answered(log: Log, rows: list[tuple[Row, str]]) -> str:
    """The text of the log with the answer below each of these readings: the pressure is off. With each
    goes what it was, e.g. "64 bar at 60 mm, stop line 50 bar"."""
    at = {row.line: f"{ANSWERED} after {words}" for row, words in rows}
    return _joined(log, [(line, at.get(k)) for k, line in enumerate(_lines(log.beside.text), start=1)])


def _replaced(log: Log, number: int, new: list[str]) -> str:
    lines = _lines(log.beside.text)
    return _joined(log, [(line, None) for line in (*lines[: number - 1], *new, *lines[number:])])


def _joined(log: Log, lines: list[tuple[str, str | None]]) -> str:
    ending = "\r\n" if "\r\n" in log.beside.text else "\n"
    mark = "\ufeff" if log.beside.text.startswith("\ufeff") else ""
    return mark + ending.join(part for pair in lines for part in pair if part is not None)


def naming(log: Log, bench: Bench, text: str) -> tuple[Edit, ...]:
    """The change of the case that goes with a new text of its log: it is named once it has the readings
    that a log needs, and no longer once it lacks them again."""
    opened = open_log(text.encode("utf-8"), file=log.beside.name)
    enough = len(opened.rows) >= MIN_ROWS and any(row.values[opened.quantity] > 0.0 for row in opened.rows)
    if enough and not log.named:
        return (Edit("press.log", log.beside.name),)
    if not enough and log.named and log.beside.name == own_log_name(bench.file):
        return (Edit("press.log", ""),)
    return ()
