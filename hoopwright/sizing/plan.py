"""Size plan of a case: window of interference, bands to cut to, decision, boring plan and remedies."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.checks import evidence_of, worst_first
from hoopwright.checks.margin import Margin
from hoopwright.discretisation import usual_resolution
from hoopwright.one_thread import one_thread
from hoopwright.pressing.contradiction import (
    READ_LESS,
    READ_OTHERWISE,
    against_readings,
    contradicts,
    for_another_sleeve,
)
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
    def in_doubt_as_pressed(self) -> bool:
        """Whether the joint as it was pressed does not hold beyond doubt by what was read then, or slipped
        at its proof load: what is to be cut is another sleeve."""
        proof = self.case.proof
        return (proof is not None and proof.slipped) or any(row.doubt == READ_LESS for row in self.margins)

    @property
    def can_be_cut(self) -> bool:
        """Whether every band holds a size that the gauge can show."""
        return self.turn_to is not None and self.turn_to.makeable


def cut_last(case: Case, study: CaseStudy) -> str:
    """The part that is cut to suit the other: the one that is not finished, the sleeve where neither is."""
    return "shell" if sleeve_is_turned(case, study) else "sleeve"


def window_of_another(case: Case, study: CaseStudy, another: Case) -> Window:
    """The window of another sleeve than the one that was pressed in. another: the case as that is judged,
    the case itself where it differs in nothing."""
    of_another = study if another is case else CaseStudy(another, study.resolution)
    return find_window(another, of_another, checks())


@one_thread()
def size_case(case: Case, *, cut: str | None = None) -> SizePlan:
    """The size plan of a case. cut: the part that is cut last, "sleeve" or "shell"; None for the one that
    is not finished, the sleeve where neither is.

    Raises fem.MeshError or fem.SolveError when the model cannot be meshed or solved.
    """
    study = CaseStudy(case, usual_resolution(case))
    margins, read = against_readings(worst_first(judged(evidence_of(case, study))), case, study)
    if contradicts(case, study, read):
        window = withheld_window(study, READ_OTHERWISE)
        return SizePlan(case, study, margins, window, None, None, boring_plan(case), ())
    another = for_another_sleeve(case, study, read)
    window = window_of_another(case, study, another)
    finished = both_finished(case, study)
    bands = (
        None if window.empty or finished else turn_to(case, study, window, cut=cut or cut_last(case, study))
    )
    decision = decide(case, study, window) if finished else None
    doubted = any(c.margin.doubt for c in window.conflicts)  # no change of size settles a doubt
    remedies = try_remedies(another, checks()) if window.empty and not doubted else ()
    return SizePlan(case, study, margins, window, bands, decision, boring_plan(case), remedies)
