"""Size plan of a case: window of interference, bands to cut to, decision, boring plan and remedies."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.checks import evidence_of, worst_first
from hoopwright.checks.margin import Margin
from hoopwright.discretisation import usual_resolution
from hoopwright.one_thread import one_thread
from hoopwright.pressing.contradiction import READ_OTHERWISE, read_otherwise, readings_contradict
from hoopwright.rows.judging import checks, judged
from hoopwright.sizing.boring_plan import BoringPlan, boring_plan
from hoopwright.sizing.finished import both_finished, sleeve_is_turned
from hoopwright.sizing.remedies import Remedy, try_remedies
from hoopwright.sizing.turn_to import Decision, TurnTo, decide, turn_to
from hoopwright.sizing.window import Window, find_window, withheld_window
from hoopwright.study import CaseStudy


@dataclass(frozen=True)
class SizePlan:
    """Result of `size`.

    turn_to: None where the window is empty or withheld, and where both parts are finished. decision: None
    until both are, and where the window is withheld. remedies: changes tried to open an empty window.
    """

    case: Case
    study: CaseStudy
    margins: tuple[Margin, ...]
    window: Window
    turn_to: TurnTo | None
    decision: Decision | None
    boring: BoringPlan | None
    remedies: tuple[Remedy, ...]

    @property
    def contradicted(self) -> bool:
        """Whether what was read at the press contradicts the case."""
        return bool(self.window.withheld)

    @property
    def can_be_cut(self) -> bool:
        """Whether every band holds a size that the gauge can show."""
        return self.turn_to is not None and self.turn_to.makeable


def cut_last(case: Case, study: CaseStudy) -> str:
    """The part that is cut to suit the other: the one that is not finished, the sleeve where neither is."""
    return "shell" if sleeve_is_turned(case, study) else "sleeve"


@one_thread()
def size_case(case: Case, *, cut: str | None = None) -> SizePlan:
    """The size plan of a case. cut: the part that is cut last, "sleeve" or "shell"; None for the one that
    is not finished, the sleeve where neither is.

    Raises fem.MeshError or fem.SolveError when the model cannot be meshed or solved.
    """
    study = CaseStudy(case, usual_resolution(case))
    margins = worst_first(judged(evidence_of(case, study)))
    if readings_contradict(case, study):
        window, rows = withheld_window(study, READ_OTHERWISE), read_otherwise(margins)
        return SizePlan(case, study, rows, window, None, None, boring_plan(case), ())
    window = find_window(case, study, checks())
    finished = both_finished(case, study)
    bands = (
        None if window.empty or finished else turn_to(case, study, window, cut=cut or cut_last(case, study))
    )
    decision = decide(case, study, window) if finished else None
    doubted = any(c.margin.doubt for c in window.conflicts)  # no change of size settles a doubt
    remedies = try_remedies(case, checks()) if window.empty and not doubted else ()
    return SizePlan(case, study, margins, window, bands, decision, boring_plan(case), remedies)
