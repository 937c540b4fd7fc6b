"""What step Press does with what is typed: a reading is written at once, one that was misread is struck
out, the answer to a stop is put down beside it, and a sheet of readings is taken together."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from hoopwright.case.quantity import QuantityError, converted, parse
from hoopwright.case.reader_units import system_of
from hoopwright.display import Units
from hoopwright.page.model import Bench, BesideText, Done, Form, first_value
from hoopwright.page.press_line import PressLine
from hoopwright.page.press_log import Log, Reading, answered, naming, struck_out, with_readings
from hoopwright.page.press_state import Judged, PressState, press_state, travel_text
from hoopwright.pressing.press_log import TRAVEL_TOLERANCE

TRAVEL, GAUGE, PASTE = "reading.travel", "reading.gauge", "reading.paste"
"""Under which something typed is given back with what is wrong with it."""
MAX_PASTED = 300
NO_LINE = "nothing is taken while the stop line is not that of the case as it stands"
STOPPED = "nothing is taken until the reading above the stop line is answered"
_UNIT = re.compile(r"[^\d\s.,+\-−/]")
_PARTS = re.compile(r"[\t;]|(?<!,)\s+|,\s+")


@dataclass(frozen=True)
class Pasted:
    """Lines of a sheet. readings: as they would be taken. problem: the first line that cannot be, "" where
    all can."""

    readings: tuple[Reading, ...]
    problem: str = ""


class NotReadError(Exception):
    """What was typed is no reading. path: of the field that it is about."""

    def __init__(self, path: str, words: str) -> None:
        super().__init__(words)
        self.path = path


def refusal(bench: Bench, state: PressState) -> str:
    """Why no reading can be taken now, "" where one can."""
    if state.log.problem:
        return state.log.problem
    if state.line is None:
        return NO_LINE
    if state.stop is not None:
        return STOPPED
    press = bench.case.press if bench.case is not None else None
    if press is not None and (press.observed_peak is not None or press.observed_gauge_MPa is not None):
        return "the case gives a greatest reading: empty it under About this press to have a log instead"
    return ""


def enter(bench: Bench, form: Form) -> Done:
    """Write one reading."""
    state, typed = press_state(bench), (first_value(form, "travel"), first_value(form, "gauge"))
    if _is_written_already(state, form, typed, bench.units):
        return Done(asked={})
    if words := refusal(bench, state):
        return Done(rejected={GAUGE: (typed[1], words)})
    assert state.line is not None
    try:
        reading = _reading(typed, state.line, bench.units, _last_travel(state))
    except NotReadError as error:
        both = {TRAVEL: typed[0], GAUGE: typed[1]}
        said = {path: (text, str(error) if path == error.path else "") for path, text in both.items()}
        return Done(rejected=said)
    return _written(bench, state.log, with_readings(state.log, [reading], _units(state.line, bench)), form)


def pressure_off(bench: Bench, form: Form) -> Done:
    """Put down that the pressure is off, beside every reading above the stop line."""
    state = press_state(bench)
    if not state.waiting:
        return Done(asked={})
    words = [(one.row, f"{one.said}, stop line {stop_there(one)}") for one in state.waiting]
    return _written(bench, state.log, answered(state.log, words), form)


def misread(bench: Bench, form: Form) -> Done:
    """Strike out a reading, and ask for it again at its travel: the last, or one above the stop line that
    waits for its answer."""
    state = press_state(bench)
    may_be = [*state.waiting, *state.rows[-1:]]
    found = next((one for one in may_be if str(one.row.line) == first_value(form, "line")), None)
    if found is None or first_value(form, "log") != state.log.beside.digest:
        return Done(rejected={GAUGE: ("", "that reading is not the last any more; nothing was struck")})
    text = struck_out(state.log, found.row, found.said)
    at = {"at": f"{found.row.travel:.6g}"} if found is state.rows[-1] else {}
    return _written(bench, state.log, text, form, asked=at)


def count(bench: Bench, _: Form) -> Done:
    """Have the case name the log that lies beside it, which has what a log needs."""
    state = press_state(bench)
    return Done(
        naming(state.log, bench, state.log.beside.text) if can_count(bench, state) else (), asked={}
    )


def can_count(bench: Bench, state: PressState) -> bool:
    """Whether there is a log beside the case that the case does not name and could."""
    log = state.log
    return not log.named and log.opened is not None and bool(naming(log, bench, log.beside.text))


def paste(_: Bench, form: Form) -> Done:
    """Give a sheet back as it would be taken; nothing is written."""
    return Done(rejected={PASTE: (first_value(form, "sheet"), "")})


def take(bench: Bench, form: Form) -> Done:
    """Write the readings of a sheet."""
    state, sheet = press_state(bench), first_value(form, "sheet")
    words = refusal(bench, state)
    found = Pasted((), words) if words else pasted(bench, state, sheet)
    if found.problem or not found.readings:
        return Done(rejected={PASTE: (sheet, found.problem or "no readings in it")})
    assert state.line is not None
    text = with_readings(state.log, list(found.readings), _units(state.line, bench))
    return _written(bench, state.log, text, form)


def pasted(bench: Bench, state: PressState, sheet: str) -> Pasted:
    """The readings of a sheet, each line a travel and what was read there."""
    readings: list[Reading] = []
    last = _last_travel(state)
    if state.line is None:
        return Pasted((), NO_LINE)
    for number, cells in _cells(sheet):
        if len(readings) == MAX_PASTED:
            return Pasted(tuple(readings), f"more than {MAX_PASTED} readings: paste fewer at once")
        try:
            if len(cells) != 2:
                raise NotReadError(PASTE, f"{len(cells)} numbers: write a travel and what was read there")
            one = _reading((cells[0], cells[1]), state.line, bench.units, last)
        except NotReadError as error:
            return Pasted(tuple(readings), f"line {number}: {error}")
        readings.append(one)
        last = one.travel
    return Pasted(tuple(readings))


def _cells(sheet: str) -> Iterator[tuple[int, list[str]]]:
    """Lines with their numbers, in cells; words above the first number are a heading."""
    begun = False
    for number, line in enumerate(sheet.splitlines(), start=1):
        begun = begun or bool(re.match(r"\s*[\d.+-]", line))
        if begun and line.strip():
            text = line.strip().rstrip(",;")
            yield number, [cell.strip() for cell in _PARTS.split(text) if cell and cell.strip()]


def _reading(typed: tuple[str, str], line: PressLine, units: Units, last: float | None) -> Reading:
    """What was typed as a reading. Raises NotReadError."""
    scale = line.scale
    rule = "in" if units.system == "inch" else "mm"
    kind, machine = ("force", "N") if scale.of_force else ("stress", "MPa")
    travel, value = (
        _quantity(text, unit, kind_, path, units)
        for text, unit, kind_, path in (
            (typed[0], rule, "length", TRAVEL),
            (typed[1], scale.unit, kind, GAUGE),
        )
    )
    if not 0.0 <= travel <= (1.0 + TRAVEL_TOLERANCE) * line.home:
        where = f"{travel_text(line.home, units)} {units.label('mm')}"
        raise NotReadError(TRAVEL, f"outside the travel: it is home at {where}")
    if last is not None and travel < last:
        raise NotReadError(
            TRAVEL, f"before the last reading, at {travel_text(last, units)}: it goes in only"
        )
    if value < 0.0:
        raise NotReadError(GAUGE, "below zero: zero the gauge first")
    if value > 1e6 * converted(1.0, scale.unit, machine):
        raise NotReadError(GAUGE, "more than any gauge shows")
    force = value if scale.of_force else value / converted(1.0, scale.unit, machine) * scale.newtons
    return Reading(travel, force, value, (_plain(typed[0]), _plain(typed[1])))


def _quantity(text: str, unit: str, kind: str, path: str, units: Units) -> float:
    """A typed number in mm, MPa or N; without a unit it is in that of the page."""
    text = text.strip().replace("−", "-")
    if not text:
        raise NotReadError(path, "nothing typed")
    try:
        return parse(text if _UNIT.search(text) else f"{text} {unit}", kind, system=system_of(units.system))
    except QuantityError as error:
        hint = f"; {error.hint}" if error.hint else ""
        raise NotReadError(path, f"{error.problem}{hint}") from None


def _plain(text: str) -> str:
    """A typed number without a unit as a log has it, "" where it is none."""
    text = text.strip()
    return text if re.fullmatch(r"[0-9]{1,9}(?:\.[0-9]{0,9})?|\.[0-9]{1,9}", text) else ""


def _last_travel(state: PressState) -> float | None:
    last = state.log.last
    return None if last is None else last.travel


def _units(line: PressLine, bench: Bench) -> tuple[str, str]:
    """Units of travel and reading of a new log."""
    return ("in" if bench.units.system == "inch" else "mm"), line.scale.unit


def _written(bench: Bench, log: Log, text: str, form: Form, asked: dict[str, str] | None = None) -> Done:
    """The log with its new text, where it is still the one that the page showed."""
    beside = BesideText(log.beside.name, text, first_value(form, "log"))
    return Done(naming(log, bench, text), beside, asked=asked or {})


def _is_written_already(state: PressState, form: Form, typed: tuple[str, str], units: Units) -> bool:
    """Whether a form sent twice is about the reading that stands last."""
    if first_value(form, "log") == state.log.beside.digest or not state.rows or state.line is None:
        return False
    try:
        sent = _reading(typed, state.line, units, None)
    except NotReadError:
        return False
    last = state.rows[-1]
    return abs(sent.travel - last.row.travel) < 1e-3 and abs(sent.force - last.row.force) < 0.1


def stop_there(one: Judged) -> str:
    """The stop line at a reading, with its unit."""
    return f"{one.expected.stop_text} {one.expected.scale.unit}"


ACTIONS = {
    "enter": enter,
    "pressure-off": pressure_off,
    "misread": misread,
    "paste": paste,
    "take": take,
    "count": count,
}
