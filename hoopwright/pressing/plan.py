"""Plan the pressing of one sleeve: forces, temperatures, what the readings say, and yielding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.checks import Margin, evidence_of
from hoopwright.checks.closure_read import closure_doubt
from hoopwright.checks.past_yield import PRESSING
from hoopwright.discretisation import usual_resolution
from hoopwright.one_thread import one_thread
from hoopwright.pressing.force_travel import ForceTravel, case_force_travel
from hoopwright.pressing.heat import HeatPlan, heat_plan
from hoopwright.pressing.inference import InferredFit, infer_fit
from hoopwright.pressing.past_yield import PastYield, solve_past_yield
from hoopwright.pressing.posterior import Readings
from hoopwright.pressing.rule_marks import AtMark, at_marks
from hoopwright.pressing.yielding import presses_past_yield
from hoopwright.rows.judging import judged
from hoopwright.study import CaseStudy


@dataclass(frozen=True)
class PressPlan:
    """The one press plan of a case, which screen, JSON and record all show.

    force_travel: None where the sleeve slips in. marks: forces at the marks of a rule, by travel, mm.
    inferred: None where nothing was read. past_yield: None where nothing yields and nobody asked. failing:
    cells of entering and pressed that fail, with the fit that the readings speak for where there are any.
    doubts: why others of them are undecided however fine the mesh.
    """

    case: Case
    study: CaseStudy
    force_travel: ForceTravel | None
    marks: Mapping[float, AtMark]
    heat: HeatPlan
    inferred: InferredFit | None
    past_yield: PastYield | None
    failing: tuple[Margin, ...]
    doubts: tuple[str, ...]

    @property
    def contradicted(self) -> bool:
        """Whether what was read at the press contradicts the case."""
        return bool(self.closure_doubt) or (self.inferred is not None and self.inferred.contradicted)

    @property
    def closure_doubt(self) -> str:
        """How a bore closure that was read without a force contradicts the case, "" where it does not."""
        return closure_doubt(evidence_of(self.case, self.study))

    @property
    def readings(self) -> tuple[str, Readings] | None:
        """What was read at the press, and where it comes from; None where nothing was."""
        return None if self.inferred is None else (self.inferred.source, self.inferred.readings)


@one_thread()
def press_plan(case: Case, *, study: CaseStudy | None = None, past_yield: bool = False) -> PressPlan:
    """Solve the force–travel curve, plan the heat, infer the fit from readings, and press past yield.

    study: of this case on its unrefined meshes, to save solving it again. past_yield: press past yield
    although no yield check fails. Raises CaseError for a blocked way or a faulty log, fem.MeshError or
    fem.SolveError when the model cannot be meshed or solved.
    """
    if study is None:
        study = CaseStudy(case, usual_resolution(case))
    curve = None if case.press.slips_in else case_force_travel(study)
    evidence = evidence_of(case, study)
    yields = presses_past_yield(study)
    inferred = None if curve is None else infer_fit(case, study, curve)
    rows = judged(evidence) if inferred is None or inferred.posterior is None else inferred.margins
    cells = [cell for row in rows for cell in row.cells if cell.stage in PRESSING]
    return PressPlan(
        case=case,
        study=study,
        force_travel=curve,
        marks={} if curve is None else at_marks(study.way_in, curve),
        heat=heat_plan(case),
        inferred=inferred,
        past_yield=solve_past_yield(study, greatest=study.tightest_shift) if past_yield or yields else None,
        failing=tuple(cell for cell in cells if cell.state == "fails"),
        doubts=tuple(dict.fromkeys(c.doubt for c in cells if c.state == "unresolved" and c.doubt)),
    )
