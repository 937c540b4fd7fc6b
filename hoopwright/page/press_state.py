"""How a pressing stands: every reading held against the plan, and whether one above the stop line still
waits for an answer. All of it follows from the case, its plan and its log, so that every device and every
reload sees the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hoopwright.case.quantity import converted
from hoopwright.display import Units
from hoopwright.page.model import Bench
from hoopwright.page.press_line import Expected, PressLine, press_line
from hoopwright.page.press_log import Log, Row, log_of

Place = Literal["above", "band", "below", "free"]


@dataclass(frozen=True)
class Judged:
    """A reading against what was expected there. number: as read, in the unit of the scale. said: e.g. "64
    bar at 60 mm"."""

    row: Row
    expected: Expected
    value: float
    number: str
    travel: str
    said: str

    @property
    def place(self) -> Place:
        if self.expected.is_above(self.value):
            return "above"
        if self.expected.stop <= 0.0:
            return "free"
        return "below" if self.expected.is_below(self.value) else "band"


@dataclass(frozen=True)
class PressState:
    """line: of the plan of the case as it stands; None where there is none that is current. log: what was
    read. rows: held against the line, () without one. waiting: readings above the stop line that nobody
    has answered."""

    line: PressLine | None
    log: Log
    rows: tuple[Judged, ...]
    waiting: tuple[Judged, ...]

    @property
    def stop(self) -> Judged | None:
        """The reading at which the press must stand still now."""
        return self.waiting[-1] if self.waiting else None

    @property
    def above(self) -> tuple[Judged, ...]:
        """Readings above the stop line, answered or not."""
        return tuple(one for one in self.rows if _counts(one, self.rows))


def press_state(bench: Bench) -> PressState:
    """How the pressing of a case stands."""
    log = log_of(bench)
    line = line_of(bench)
    if line is None:
        return PressState(None, log, (), ())
    rows = tuple(judged(row, line, bench.units) for row in log.rows)
    waiting = tuple(one for one in rows if _counts(one, rows) and not one.row.answered)
    return PressState(line, log, rows, waiting)


def line_of(bench: Bench) -> PressLine | None:
    """The line of the plan, only of the case as it stands now."""
    plan = bench.answer("plan")
    if plan is None or bench.case is None or not bench.is_current("plan"):
        return None
    return press_line(plan, bench.units)


def _counts(one: Judged, rows: tuple[Judged, ...]) -> bool:
    """Whether a reading is above the stop line. The last is held against the division below it, as the
    gauge is watched; one that was pressed past since only against the line itself, since it may have been
    read between divisions."""
    if one is rows[-1]:
        return one.place == "above"
    return one.expected.is_surely_above(one.value)


def judged(row: Row, line: PressLine, units: Units) -> Judged:
    """A reading of a log against the line."""
    value = line.scale.value(row.force)
    number = row.shown if _is_as_written(row, value) else f"{value:.4g}"
    travel = travel_text(row.travel, units)
    said = f"{number} {line.scale.unit} at {travel} {units.label('mm')}"
    return Judged(row, line.at(row.travel), value, number, travel, said)


def _is_as_written(row: Row, value: float) -> bool:
    """Whether the log has the reading in the unit of the scale."""
    try:
        return abs(float(row.shown) - value) <= 1e-6 * max(abs(value), 1.0)
    except ValueError:
        return False


def travel_text(travel: float, units: Units) -> str:
    """A travel in mm as a rule shows it: "60", "62.5" mm, "2.68" in."""
    if units.system == "inch":
        return f"{converted(travel, 'mm', 'inch'):.2f}"
    return f"{travel:.1f}".removesuffix(".0")
