"""Everything about getting one sleeve in, in the order it is done."""

from __future__ import annotations

from dataclasses import dataclass

from fem import Resolution
from hoopwright.case.model import Case
from hoopwright.checks import Evidence
from hoopwright.checks.pressed_yield import shell_yields, sleeve_yields
from hoopwright.pressing.course import Course, course
from hoopwright.pressing.heat import HeatPlan, heat_plan
from hoopwright.pressing.told import Told, told
from hoopwright.pressing.too_tight import TooTight, too_tight
from hoopwright.study import CaseStudy

SURE = 0.9999
"""Share of the distribution of the interference that the course spans."""
LEAST_SPAN = 0.1
"""Of the interference, spanned even where the sizes are taken as exact."""


@dataclass(frozen=True)
class PressPlan:
    """told: None where nothing was read. plastic: None where nothing yields and nobody asked."""

    case: Case
    study: CaseStudy
    course: Course
    heat: HeatPlan
    told: Told | None
    plastic: TooTight | None


def press_plan(case: Case, *, plastic: bool = False) -> PressPlan:
    """Solve the way in, plan the heat, read what the press told; past yield where a check fails there.

    Raises CaseError for a blocked way or a faulty log, fem.MeshError or fem.SolveError when the model
    cannot be drawn or solved.
    """
    resolution = Resolution(elements_through_wall=case.mesh.elements_through_wall)
    study = CaseStudy(case, resolution)
    errors = study.interference.errors
    reach = max(errors.half_width(SURE), LEAST_SPAN * abs(study.nominal_interference))
    way = course(case, spread=study.spread, reach=reach)
    greatest = study.spread
    tightest = max(seat.likely for seat in study.interference.seats) + greatest
    found = told(case, study, way)
    evidence = Evidence(case, study, -greatest, greatest)
    yields = any(check(evidence).state == "fails" for check in (shell_yields, sleeve_yields))
    return PressPlan(
        case, study, way, heat_plan(case, greatest_interference=tightest), found,
        too_tight(study, greatest=greatest) if plastic or yields else None)
