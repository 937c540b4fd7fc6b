"""The order of the steps, from a case to its results."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from fem import MeshSizeError, Resolution
from hoopwright.case.model import Case
from hoopwright.checks import CHECKS, Margin, evidence_of, judged, worst_first
from hoopwright.comparison import Comparison, compare
from hoopwright.sizing.response import Interval, margin_intervals
from hoopwright.study import CaseStudy

# A margin whose sign the mesh could flip has the mesh refined by this factor, this often.
REFINE_BY = 1.6
MOST_REFINEMENTS = 2

CONTRADICTED = "the finite elements and Lamé disagree where they must agree"


@dataclass(frozen=True)
class Results:
    """Everything a run found. margins: worst first. refinements: how often the mesh was refined.
    intervals: of the assessed margins, 95 %, by id: what the uncertain sizes leave open."""

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
        """False when the finite elements contradict the closed form where it applies."""
        return not self.comparison.contradicts


def check_case(case: Case) -> Results:
    """Press the sleeve in, compare with Lamé, and find every margin; refine while one is unresolved.

    Raises fem.MeshError or fem.SolveError when the model cannot be drawn or solved.
    """
    resolution = Resolution(elements_through_wall=case.mesh.elements_through_wall)
    for refinements in range(MOST_REFINEMENTS + 1):
        try:
            study = CaseStudy(case, resolution)
        except MeshSizeError:
            if not refinements:
                raise
            break  # what is open stays open
        evidence = evidence_of(case, study)
        comparison = compare(case, study)
        margins = worst_first(judged(evidence))
        if comparison.contradicts:
            margins = tuple(replace(m, doubt=m.doubt or CONTRADICTED) for m in margins)
        results = Results(case, study, comparison, margins, refinements)
        if comparison.contradicts or not any(m.sign_is_open for m in margins):
            break
        resolution = resolution.scaled(1.0 / REFINE_BY)
    return replace(results, intervals=margin_intervals(case, results.study, CHECKS))
