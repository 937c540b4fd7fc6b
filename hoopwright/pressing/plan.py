"""Plan the pressing of one sleeve: forces, temperatures, what the readings say, and yielding."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.checks import Evidence
from hoopwright.checks.pressed_yield import shell_yields, sleeve_yields
from hoopwright.discretisation import usual_resolution
from hoopwright.pressing.force_travel import ForceTravel, force_travel
from hoopwright.pressing.heat import HeatPlan, heat_plan
from hoopwright.pressing.inference import InferredFit, infer_fit
from hoopwright.pressing.past_yield import PastYield, solve_past_yield
from hoopwright.study import CaseStudy

SPANNED_SHARE = 0.9999
"""Share of the distribution of the interference that the force–travel curve spans."""
MIN_SPAN = 0.1
"""Share of the interference that is spanned even where the sizes are taken as exact."""


@dataclass(frozen=True)
class PressPlan:
    """The one press plan of a case, which screen, JSON and record all show.

    inferred: None where nothing was read. past_yield: None where nothing yields and nobody asked.
    """

    case: Case
    study: CaseStudy
    force_travel: ForceTravel
    heat: HeatPlan
    inferred: InferredFit | None
    past_yield: PastYield | None


def press_plan(case: Case, *, study: CaseStudy | None = None, past_yield: bool = False) -> PressPlan:
    """Solve the force–travel curve, plan the heat, infer the fit from readings, and press past yield.

    study: of this case on its unrefined meshes, to save solving it again. past_yield: press past yield
    although no yield check fails. Raises CaseError for a blocked way or a faulty log, fem.MeshError or
    fem.SolveError when the model cannot be meshed or solved.
    """
    if study is None:
        study = CaseStudy(case, usual_resolution(case))
    errors = study.interference.errors
    reach = max(errors.half_width(SPANNED_SHARE), MIN_SPAN * abs(study.nominal_interference))
    half_width = study.interference_half_width
    curve = force_travel(study.way_in, interference_half_width=half_width, reach=reach)
    tightest = max(seat.likely for seat in study.interference.seats) + half_width
    evidence = Evidence(case, study, -half_width, half_width)
    yields = any(check(evidence).state == "fails" for check in (shell_yields, sleeve_yields))
    return PressPlan(
        case=case,
        study=study,
        force_travel=curve,
        heat=heat_plan(case, greatest_interference=tightest),
        inferred=infer_fit(case, study, curve),
        past_yield=solve_past_yield(study, greatest=half_width) if past_yield or yields else None,
    )
