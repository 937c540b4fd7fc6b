"""Gather what a record holds beyond the check itself: the window of interference and the press plan."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.checks import CHECKS
from hoopwright.display import Units
from hoopwright.entry import entry_side
from hoopwright.errors import CaseError
from hoopwright.one_thread import one_thread
from hoopwright.pipeline import Results
from hoopwright.pressing.contradiction import READ_OTHERWISE
from hoopwright.pressing.plan import PressPlan, press_plan
from hoopwright.record.progress import Progress
from hoopwright.sizing.plan import both_measured
from hoopwright.sizing.turn_to import Decision, decide
from hoopwright.sizing.window import Window, find_window, withheld_window


@dataclass(frozen=True)
class Gathered:
    """All results of one case.

    decision: None until both parts are measured, and where the window is withheld. press: None where the
    sleeve cannot be pressed in as the case has it; then `blocked` says why.
    """

    results: Results
    units: Units
    window: Window
    decision: Decision | None
    press: PressPlan | None
    blocked: str = ""


@one_thread()
def gather(results: Results, units: Units, progress: Progress) -> Gathered:
    """Find the window of interference and plan the pressing of a checked case.

    Raises CaseError for a faulty press log, fem.MeshError or fem.SolveError where a position of the
    sleeve cannot be meshed or solved.
    """
    case, study = results.case, results.study
    progress("finding the window of interference")
    window, decision = _window(results)
    progress("pressing the sleeve in")
    try:
        entry_side(case)
    except CaseError as error:
        return Gathered(results, units, window, decision, None, error.faults[0].problem)
    # The press plan rests on the unrefined meshes, so that `press` and the record agree to the last digit.
    unrefined = None if results.refinements else study
    return Gathered(results, units, window, decision, press_plan(case, study=unrefined))


def _window(results: Results) -> tuple[Window, Decision | None]:
    """The window, withheld where what was read at the press contradicts the case, and whether to press."""
    case, study = results.case, results.study
    if results.contradicted_by_readings:
        return withheld_window(study, READ_OTHERWISE), None
    window = find_window(case, study, CHECKS)
    return window, decide(case, study, window) if both_measured(case, study) else None
