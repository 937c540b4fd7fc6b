"""Check a case: solve it, compare with the closed form, and refine while a margin is unresolved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from hoopwright.case.model import Case
from hoopwright.checks import CHECKS, Margin, evidence_of, judged, worst_first
from hoopwright.comparison import Comparison, compare
from hoopwright.fem import MeshSizeError
from hoopwright.fit import usual_resolution
from hoopwright.sizing.margin_curves import Interval, margin_intervals
from hoopwright.study import CaseStudy

# Where the numerical error could change the sign of a margin, the mesh is refined by this factor, at most
# this many times.
REFINE_BY = 1.6
MAX_REFINEMENTS = 2

CONTRADICTED = "the finite elements and Lamé disagree where they must agree"


@dataclass(frozen=True)
class Results:
    """Results of a check. margins: worst first. refinements: how many times the mesh was refined.
    intervals: 95 % interval of each assessed margin, by id, due to the uncertainty of the sizes."""

    case: Case
    study: CaseStudy
    comparison: Comparison
    margins: tuple[Margin, ...]
    refinements: int
    intervals: Mapping[str, Interval] = field(default_factory=dict)

    @property
    def failing(self) -> tuple[Margin, ...]:
        return tuple(m for m in self.margins if m.state == "fails")

    @property
    def unresolved(self) -> tuple[Margin, ...]:
        return tuple(m for m in self.margins if m.state == "unresolved")

    @property
    def trusted(self) -> bool:
        """Whether the finite elements agree with the closed form, or it does not apply."""
        return not self.comparison.contradicts


def check_case(case: Case) -> Results:
    """Solve the press fit, compare it with Lamé and judge every margin, refining while one is unresolved.

    Raises fem.MeshError or fem.SolveError when the model cannot be meshed or solved.
    """
    resolution = usual_resolution(case)
    for refinements in range(MAX_REFINEMENTS + 1):
        try:
            study = CaseStudy(case, resolution)
        except MeshSizeError:
            if not refinements:
                raise
            break  # a finer mesh is too large: what is unresolved stays unresolved
        evidence = evidence_of(case, study)
        comparison = compare(case, study)
        margins = worst_first(judged(evidence))
        if comparison.contradicts:
            margins = tuple(replace(m, doubt=m.doubt or CONTRADICTED) for m in margins)
        results = Results(case, study, comparison, margins, refinements)
        if comparison.contradicts or not any(m.sign_is_uncertain for m in margins):
            break
        resolution = resolution.scaled(1.0 / REFINE_BY)
    return replace(results, intervals=margin_intervals(case, results.study, CHECKS))
