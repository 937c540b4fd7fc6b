"""From a case to what its sizes should be: the order of the steps of `hoopwright size`."""

from __future__ import annotations

from dataclasses import dataclass

from fem import Resolution
from hoopwright.case.model import Case
from hoopwright.checks import CHECKS, evidence_of, judged, worst_first
from hoopwright.checks.margin import Margin
from hoopwright.sizing.boring_plan import BoringPlan, boring_plan
from hoopwright.sizing.openers import Trial, try_openers
from hoopwright.sizing.turn_to import Decision, TurnTo, decide, turn_to
from hoopwright.sizing.window import Window, find_window
from hoopwright.study import CaseStudy


@dataclass(frozen=True)
class SizePlan:
    """Everything `size` finds. turn_to: None where the window is empty. decision: None until both
    parts are measured. trials: what was tried to open an empty window."""

    case: Case
    study: CaseStudy
    margins: tuple[Margin, ...]
    window: Window
    turn_to: TurnTo | None
    decision: Decision | None
    boring: BoringPlan | None
    trials: tuple[Trial, ...]

    @property
    def can_be_cut(self) -> bool:
        return self.turn_to is not None and self.turn_to.makeable


def size_case(case: Case, *, cut: str = "sleeve") -> SizePlan:
    """Window, bands, decision and boring plan of a case. cut: "sleeve" or "shell", what is cut last.

    Raises fem.MeshError or fem.SolveError when the model cannot be drawn or solved.
    """
    study = CaseStudy(case, Resolution(elements_through_wall=case.mesh.elements_through_wall))
    window = find_window(case, study, CHECKS)
    margins = worst_first(judged(evidence_of(case, study)))
    bands = None if window.empty else turn_to(case, study, window, cut=cut)
    decision = decide(case, study, window) if both_measured(case, study) else None
    doubted = any(c.margin.doubt for c in window.clash)  # a doubt is settled by no change of size
    trials = try_openers(case, CHECKS) if window.empty and not doubted else ()
    return SizePlan(case, study, margins, window, bands, decision, boring_plan(case), trials)


def both_measured(case: Case, study: CaseStudy) -> bool:
    """Every seat has readings of its bore and of its sleeve."""
    bores, sleeves = (
        {m.index for m in lands if m.surface == surface}
        for lands, surface in ((case.shell_measured, "bore"), (case.sleeve_measured, "outside"))
    )
    return all(s.bore_land in bores and s.sleeve_land in sleeves for s in study.joint.seats)
