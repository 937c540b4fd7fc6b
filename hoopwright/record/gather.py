"""Gather what a record holds beyond the check itself: the window of interference and the press plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from hoopwright.came_out.answer import CameOut, came_out
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.entry import entry_side
from hoopwright.errors import CaseError
from hoopwright.one_thread import one_thread
from hoopwright.pipeline import Results
from hoopwright.pressing.contradiction import READ_OTHERWISE, for_another_sleeve
from hoopwright.pressing.plan import PressPlan, press_plan
from hoopwright.record.progress import Progress
from hoopwright.shop_sheet.plan import SheetPlan, sheet_plan
from hoopwright.sizing.boring_plan import boring_plan
from hoopwright.sizing.finished import both_finished
from hoopwright.sizing.plan import SizePlan, cut_last, window_of_another
from hoopwright.sizing.turn_to import Decision, TurnTo, decide, turn_to
from hoopwright.sizing.window import Window, withheld_window


@dataclass(frozen=True)
class Gathered:
    """All results of one case.

    checked: the document of the check. turn_to: None where there is no window, and where both parts are
    finished. decision, came_out: None until both are, and where the window is withheld. press: None where
    the sleeve cannot be pressed in as the case has it; then `blocked` says why.
    """

    results: Results
    checked: dict[str, Any]
    units: Units
    window: Window
    turn_to: TurnTo | None
    decision: Decision | None
    came_out: CameOut | None
    press: PressPlan | None
    sheet: SheetPlan
    blocked: str = ""


@one_thread()
def gather(
    results: Results, units: Units, progress: Progress, window: Callable[[], Window] | None = None
) -> Gathered:
    """Find the window of interference and plan the pressing of a checked case.

    window: where to take that of `window_of_results` from once the pressing is planned, such as a process
    that has searched it meanwhile; None to search it here. Raises CaseError for a faulty press log,
    fem.MeshError or fem.SolveError where a position of the sleeve cannot be meshed or solved.
    """
    checked = document(results)  # before the window: its search leaves other states as those that govern
    progress("pressing the sleeve in")
    press, blocked = _pressed_in(results)
    progress("finding the window of interference")
    plan = _size_plan(results, units, window() if window else window_of_results(results, units))
    answer = came_out(plan, units, results)
    sheet = sheet_plan(results, units, plan, answer, press, blocked)
    return Gathered(
        results,
        checked,
        units,
        plan.window,
        plan.turn_to,
        plan.decision,
        answer,
        press,
        sheet,
        blocked,
    )


@one_thread()
def window_of_results(results: Results, units: Units) -> Window:
    """The window of interference of a checked case; withheld where what was read at the press contradicts
    the case."""
    case, study = replace(results.case, units=units.system), results.study
    if results.contradicted_by_readings:
        return withheld_window(study, READ_OTHERWISE)
    return window_of_another(case, study, for_another_sleeve(case, study, results.readings))


def _pressed_in(results: Results) -> tuple[PressPlan | None, str]:
    """The press plan, or None and why the sleeve cannot be pressed in as the case has it."""
    case = results.case
    try:
        entry_side(case)
    except CaseError as error:
        return None, error.faults[0].problem
    # The press plan rests on the unrefined meshes, so that `press` and the record agree to the last digit.
    return press_plan(case, study=None if results.refinements else results.study), ""


def _size_plan(results: Results, units: Units, window: Window) -> SizePlan:
    """The window, with the sizes to cut to, or with both parts finished the chance that their fit lies in
    it."""
    case, study = replace(results.case, units=units.system), results.study
    contradicted = results.contradicted_by_readings
    finished = both_finished(case, study)
    decision = decide(case, study, window) if finished and not contradicted else None
    bands = (
        None
        if finished or contradicted or window.empty
        else turn_to(case, study, window, cut=cut_last(case, study))
    )
    return SizePlan(case, study, results.margins, window, bands, decision, boring_plan(case), ())
