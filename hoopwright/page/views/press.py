"""What step Press shows while the sleeve goes in: the next mark, the readings, and a stop."""

from __future__ import annotations

import json
from dataclasses import dataclass

from markupsafe import Markup

from hoopwright.case.model import Case
from hoopwright.case.quantity import converted
from hoopwright.display import Units
from hoopwright.geometry.travel import engagement_travels
from hoopwright.page.figures.dial import Dial, Shown, dial_figure
from hoopwright.page.figures.marks import hoop
from hoopwright.page.figures.press_curve import Curve, Dot, press_curve
from hoopwright.page.model import Bench, Document
from hoopwright.page.press_entry import GAUGE, PASTE, TRAVEL, can_count, pasted, refusal, stop_there
from hoopwright.page.press_line import Expected, PressLine, full_scale
from hoopwright.page.press_log import Row
from hoopwright.page.press_state import Judged, PressState, judged, travel_text
from hoopwright.pressing.press_log import MIN_ROWS

SHOWN_ROWS, LISTED_ROWS, MAX_DOTS = 3, 60, 400
"""Readings shown as the last, at most in the list of all, and in the figure: a recorder has thousands."""
WORDS = {
    "above": "above the stop line",
    "band": "in the band",
    "below": "below the least: suspect the fit",
    "free": "nothing bears yet",
    "coarse": "the gauge is too coarse to tell",
}
JUMP = 2.0
"""Times by which the stop line must steepen where another land meets the bore, to be worth a word."""


@dataclass(frozen=True)
class Ahead:
    """The next mark of travel: where, and what should show there. coarse: the gauge cannot show the stop
    line."""

    where: str
    least: str
    likely: str
    stop: str
    unit: str
    coarse: bool
    force: str


@dataclass(frozen=True)
class RowView:
    """A reading with what was expected. place: above, band, below, free, or
    coarse where it cannot be told."""

    line: int
    travel: str
    number: str
    least: str
    likely: str
    stop: str
    place: str
    words: str
    answered: bool


@dataclass(frozen=True)
class Entry:
    """The form of a reading. count: of what stands in the log, so that a field is never taken for that of
    another reading. line: the stop line for the script. refused: why there is no form now."""

    travel: str
    travel_unit: str
    gauge: str
    gauge_unit: str
    gauge_name: str
    count: int
    line: str
    travel_fault: str
    gauge_fault: str
    refused: str


@dataclass(frozen=True)
class StopView:
    """A reading above the stop line. cause: what tightens it beside chips and galling."""

    said: str
    there: str
    number: str
    line: int
    cause: str
    coarse: bool
    hoop: Markup


@dataclass(frozen=True)
class Sheet:
    """What was pasted, as it would be taken. text: as pasted."""

    text: str
    rows: tuple[RowView, ...]
    problem: str
    fault: str


@dataclass(frozen=True)
class Desk:
    """What stands at the press. version: of all that it is made from; a page that shows another is
    exchanged."""

    version: str
    ahead: Ahead | None
    off: bool
    dial: Markup
    curve: Markup
    entry: Entry
    stop: StopView | None
    after: tuple[str, ...]
    last: tuple[RowView, ...]
    rows: tuple[RowView, ...]
    count: int
    struck: tuple[str, ...]
    log_name: str
    log_digest: str
    lacks: str
    can_count: bool
    notes: tuple[str, ...]
    units: tuple[str, ...]
    unit: str


def desk_of(bench: Bench, state: PressState, plan: Document) -> Desk:
    """The desk at the press. The plan is current and pushes."""
    line, case = state.line, bench.case
    assert line is not None
    assert case is not None
    curve = plan["force_against_travel"]
    at = _ahead_at(bench, state, line)
    expected = line.at(at)
    off = _is_off(state)
    pictured = line.at(state.rows[-1].row.travel) if off else expected
    return Desk(
        version=desk_version(bench, state),
        ahead=None if _is_in(state, line) else _ahead(expected, line, bench.units),
        off=off,
        dial=_dial(state, line, pictured, bench.units),
        curve=_curve(state, line, pictured.travel, case, curve, bench.units),
        entry=_entry(bench, state, line, at),
        stop=_stop(state, curve),
        after=_after(state, curve, case, bench.units),
        last=tuple(reversed(_rows(state, SHOWN_ROWS))),
        rows=_rows(state, LISTED_ROWS),
        count=len(state.rows),
        struck=state.log.struck,
        log_name=state.log.beside.name,
        log_digest=state.log.beside.digest,
        lacks=_lacks(state),
        can_count=bool(state.rows) and state.stop is None and can_count(bench, state),
        notes=tuple(_notes(line)),
        units=() if line.scale.of_force else ("bar", "psi", "MPa"),
        unit=line.scale.unit,
    )


def desk_version(bench: Bench, state: PressState) -> str:
    plan = bench.plan_version[:12] if state.line is not None else "none"
    return f"{plan}-{state.log.beside.digest[:12]}-{bench.units.system}"


def _is_in(state: PressState, line: PressLine) -> bool:
    last = state.log.last
    return last is not None and line.is_home(last.travel)


def _ahead_at(bench: Bench, state: PressState, line: PressLine) -> float:
    """The travel that is read next, mm: that which the address names, where a reading is corrected, else
    the next mark; of a stop, where it came."""
    if state.stop is not None:
        return state.stop.row.travel
    last = None if state.log.last is None else state.log.last.travel
    try:
        asked = float(bench.asked.get("at", ""))
    except ValueError:
        return line.next_mark(last)
    if 0.0 <= asked <= line.home and (last is None or asked >= last):
        return asked
    return line.next_mark(last)


def _ahead(expected: Expected, line: PressLine, units: Units) -> Ahead:
    force = units.number_below(expected.stop * line.scale.newtons, "N")
    return Ahead(
        f"{travel_text(expected.travel, units)} {units.label('mm')}",
        expected.least_text,
        expected.likely_text,
        expected.stop_text,
        line.scale.unit,
        expected.coarse,
        "" if line.scale.of_force else f"{force} {units.label('N')}",
    )


def _dial(state: PressState, line: PressLine, expected: Expected, units: Units) -> Markup:
    shown = None
    if state.rows:
        last = state.rows[-1]
        shown = Shown(last.value, last.number, f"at {last.travel} {units.label('mm')}")
    unit = line.scale.unit
    plate = "too coarse: go by the force" if expected.coarse else f"stop above {expected.stop_text} {unit}"
    where = f"{travel_text(expected.travel, units)} {units.label('mm')}"
    return dial_figure(Dial(expected, where, full_scale(line), shown, plate))


def _curve(
    state: PressState, line: PressLine, at: float, case: Case, curve: Document, units: Units
) -> Markup:
    above = {one.row.line for one in state.above}
    thinned = {one.row.line for one in state.rows[:: len(state.rows) // MAX_DOTS + 1]}
    lines = above | thinned
    shown = [one for one in state.rows if one.row.line in lines]
    dots = [Dot(one.row.travel, one.row.force, one.row.line in above) for one in shown]
    ahead = None if _is_in(state, line) else at
    return press_curve(Curve(line, dots, ahead, _meets(line, case, curve["enters_from"])), units)


def _meets(line: PressLine, case: Case, end: str) -> list[float]:
    """Travels at which another land meets the bore and the stop line steepens at once."""
    if len(case.sleeve.outside) < 2:
        return []
    near = 0.05 * line.home
    found: list[float] = []
    for travel in engagement_travels(case.shell, case.sleeve.blank, "left" if end == "left" else "right"):
        if not near < travel < line.home - near or (found and travel - found[-1] < 2.0 * near):
            continue
        before, at, after = (line.at(travel + step).stop for step in (-near, 0.0, near))
        if after - at > JUMP * max(at - before, 0.0):
            found.append(travel)
    return found


def _entry(bench: Bench, state: PressState, line: PressLine, at: float) -> Entry:
    refused = bench.rejected
    travel, travel_fault = refused.get(TRAVEL, (travel_text(at, bench.units), ""))
    gauge, gauge_fault = refused.get(GAUGE, ("", ""))
    lost = refused.get("press.log")
    scale = line.scale
    per = converted(1.0, "inch", "mm") if bench.units.system == "inch" else 1.0
    points = [
        [round(t / per, 5), round(line.at(t).stop, 6), round(line.at(t).likely, 6)] for t in line.travel
    ]
    return Entry(
        travel,
        bench.units.label("mm"),
        gauge,
        scale.unit,
        "force shows" if scale.of_force else "gauge shows",
        len(state.log.rows) + len(state.log.struck),
        json.dumps({"division": scale.division, "unit": scale.unit, "points": points}),
        travel_fault,
        gauge_fault or (f"{lost[0]}: {lost[1]}" if lost else ""),
        refusal(bench, state),
    )


def _stop(state: PressState, curve: Document) -> StopView | None:
    one = state.stop
    if one is None:
        return None
    cause = "metal stronger than given" if curve["metal_yields"] else "a tighter fit than measured"
    return StopView(
        one.said, stop_there(one), one.number, one.row.line, cause, one.expected.coarse, hoop("fails")
    )


def _is_off(state: PressState) -> bool:
    """Whether the pressure was taken off at the last reading, which stands above the stop line."""
    return bool(state.rows) and state.stop is None and state.rows[-1] in state.above


def _after(state: PressState, curve: Document, case: Case, units: Units) -> tuple[str, ...]:
    """What now, where the last reading stands above the stop line and the pressure is off."""
    if not _is_off(state):
        return ()
    last, ratio = state.rows[-1], curve["restart_ratio"]
    loose = ratio * last.row.force
    lines = [
        f"{last.said}, and the stop line there is {stop_there(last)}. Something is not as the case has it.",
        "Look before anything moves: is the sleeve square in the bore, is there a chip at its mouth, has "
        "it torn metal? Measure the bore of the sleeve where it is in: closed more than planned, the fit "
        "is tighter than measured. Check that the gauge came back to zero.",
        f"If it had come to rest before, breaking loose takes up to {ratio:g} times the force: only then "
        "is a jump no sign of harm.",
        f"To press it out again, reckon with {units.text(loose, 'N')}, what was just read with the "
        f"{ratio:g} times of a sleeve at rest, and rest the shell's face on a ring that lets it through. "
        "What has galled may take more.",
    ]
    if case.press.capacity is not None and loose > case.press.capacity:
        lines.append(f"The press gives {units.text(case.press.capacity, 'N')}: that may not be enough.")
    lines.append(
        "Nothing here says that it may go on. If the cause is found and put right, the next reading is "
        "held against the same stop line."
    )
    return tuple(lines)


def _rows(state: PressState, count: int) -> tuple[RowView, ...]:
    """The last readings, so many."""
    above = {one.row.line for one in state.above}
    return tuple(row_view(one, above=one.row.line in above) for one in state.rows[-count:])


def row_view(one: Judged, *, above: bool) -> RowView:
    place: str = "above" if above else "band" if one.place == "above" else one.place
    expected = one.expected
    stop = expected.stop_text
    if place == "band" and expected.may_hide(one.value):
        place = "coarse"
    if place == "band" and one.value > expected.scale.below(expected.stop):  # read between two divisions
        stop = f"{expected.stop:.3g}"
    return RowView(
        one.row.line,
        one.travel,
        one.number,
        expected.least_text,
        expected.likely_text,
        stop,
        place,
        WORDS[place],
        one.row.answered,
    )


def _lacks(state: PressState) -> str:
    """What the log still lacks before a check counts it."""
    count = len(state.log.rows)
    if state.log.named or not count:
        return ""
    if count >= MIN_ROWS:
        return "The check does not count these readings: the case does not name their log."
    readings = "reading is" if count == 1 else "readings are"
    return f"{count} {readings} written down. The check counts a log from {MIN_ROWS} readings on."


def _notes(line: PressLine) -> list[str]:
    """How the scale is divided, and which dial is pictured."""
    scale = line.scale
    given = "" if scale.known else ", taken since the case gives no division"
    end = f"{full_scale(line):g} {scale.unit}"
    if scale.of_force:
        return [
            f"No ram is known, so this is force. Read to {scale.step}{given}; the stop line always "
            f"to the division below. Pictured with a scale to {end}."
        ]
    return [
        f"Gauge to its division of {scale.step}{given}; the stop line always to the division "
        f"below. Pictured with a scale to {end}, the first usual one that clears the stop line; yours may "
        "go further."
    ]


def sheet_of(bench: Bench, state: PressState) -> Sheet:
    """What was pasted last and is not taken."""
    text, words = bench.rejected.get(PASTE, ("", ""))
    if not text.strip() or state.line is None:
        return Sheet(text, (), "", words or ("nothing was pasted" if PASTE in bench.rejected else ""))
    found = pasted(bench, state, text)
    line = state.line
    rows = []
    for reading in found.readings:
        row = Row(0, reading.travel, reading.force, reading.typed[1], reading.value, answered=False)
        one = judged(row, line, bench.units)
        rows.append(row_view(one, above=one.expected.is_surely_above(one.value)))
    return Sheet(text, tuple(rows), found.problem, words)
