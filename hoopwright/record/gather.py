"""What a record holds beyond the check itself: the window of interference, and the way in."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.faults import CaseError
from hoopwright.checks import CHECKS
from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.pressing.course import course, side
from hoopwright.pressing.heat import heat_plan
from hoopwright.pressing.plan import SURE, PressPlan
from hoopwright.pressing.told import told
from hoopwright.record.progress import Progress
from hoopwright.sizing.plan import both_measured
from hoopwright.sizing.turn_to import Decision, decide
from hoopwright.sizing.window import Window, find_window


@dataclass(frozen=True)
class Gathered:
    """decision: None until both parts are measured. press: None where the sleeve cannot be pressed in as
    the case has it; then `blocked` says why."""

    results: Results
    units: Units
    window: Window
    decision: Decision | None
    press: PressPlan | None
    blocked: str = ""


def gather(results: Results, units: Units, progress: Progress) -> Gathered:
    """Find the window and the course of the force on the meshes that the check was made with.

    Raises CaseError for a faulty press log, fem.MeshError or fem.SolveError where a position of the
    sleeve cannot be drawn or solved.
    """
    case, study = results.case, results.study
    progress("finding the window of interference")
    window = find_window(case, study, CHECKS)
    decision = decide(case, study, window) if both_measured(case, study) else None
    progress("pressing the sleeve in")
    try:
        side(case)
    except CaseError as error:
        return Gathered(results, units, window, decision, None, error.faults[0].problem)
    return Gathered(results, units, window, decision, _press(results))


def _press(results: Results) -> PressPlan:
    case, study = results.case, results.study
    way = course(case, spread=study.spread, reach=study.interference.errors.half_width(SURE))
    tightest = max(seat.likely for seat in study.interference.seats) + study.spread
    return PressPlan(case, study, way, heat_plan(case, greatest_interference=tightest),
                     told(case, study, way), None)
