"""Check a case: solve it, compare with the closed form, and refine while a margin is unresolved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from hoopwright.case.model import Case
from hoopwright.checks import Margin, Progress, Stage, evidence_of, no_progress, worst_first
from hoopwright.comparison import Comparison, compare
from hoopwright.discretisation import MAX_NODES, MAX_REFINED_NODES, usual_resolution
from hoopwright.fem import MeshSizeError
from hoopwright.one_thread import one_thread
from hoopwright.rows.judging import checks, judged
from hoopwright.sizing.margin_curves import Interval, margin_intervals
from hoopwright.study import CaseStudy

if TYPE_CHECKING:
    from hoopwright.pressing.inference import InferredFit

# Where the numerical error could change the sign of a margin, the mesh is refined by this factor, at most
# this many times.
REFINE_BY = 1.6
MAX_REFINEMENTS = 2

SHRINKS_TO = 0.7
"""Share of an error left by a refinement above which the next is not worth its time: in a smooth solution
the error falls to less than half."""

CONTRADICTED = "the finite elements and Lamé disagree where they must agree"


@dataclass(frozen=True)
class Results:
    """Results of a check. margins: worst first. refinements: how many times the mesh was refined.
    intervals: 95 % interval of each assessed margin, by id, due to the uncertainty of the sizes. readings:
    what was read at the press, None where nothing was."""

    case: Case
    study: CaseStudy
    comparison: Comparison
    margins: tuple[Margin, ...]
    refinements: int
    intervals: Mapping[str, Interval] = field(default_factory=dict)
    readings: InferredFit | None = None

    @property
    def failing(self) -> tuple[Margin, ...]:
        return tuple(m for m in self.margins if m.state == "fails")

    @property
    def unresolved(self) -> tuple[Margin, ...]:
        return tuple(m for m in self.margins if m.state == "unresolved")

    @property
    def contradicted_by_readings(self) -> bool:
        """Whether what was read at the press contradicts the sizes and the friction given."""
        if not self.case.press.was_read:
            return False
        from hoopwright.pressing.contradiction import contradicts

        return contradicts(self.case, self.study, self.readings)

    @property
    def shape_read(self) -> str:
        """How the shape of a press log contradicts the case, in a few words; "" where it does not."""
        found = None if self.readings is None else self.readings.misfit
        if found is None:
            return ""
        from hoopwright.pressing.misfit_words import misfit_phrase

        return misfit_phrase(found)

    @property
    def trusted(self) -> bool:
        """Whether the finite elements agree with the closed form, or it does not apply."""
        return not self.comparison.contradicts


@one_thread()
def check_case(case: Case, progress: Progress = no_progress) -> Results:
    """Solve the press fit, compare it with Lamé and judge every margin, refining while one is unresolved.

    progress: begins again with every refinement; what it raises ends the check. Raises fem.MeshError or
    fem.SolveError when the model cannot be meshed or solved.
    """
    resolution, errors = usual_resolution(case), dict[tuple[str, Stage], float]()
    results: Results | None = None
    for refinements in range(MAX_REFINEMENTS + 1):
        try:
            study = CaseStudy(case, resolution, max_nodes=MAX_REFINED_NODES if refinements else MAX_NODES)
        except MeshSizeError:
            if results is None:
                raise
            break  # a finer mesh is too large: what is unresolved stays unresolved
        results = None  # the coarser study is freed before this one is solved
        results = _judged(case, study, refinements, progress)
        cells = [cell for row in results.margins for cell in row.cells]
        if results.comparison.contradicts or not any(_worth_refining(cell, errors) for cell in cells):
            break
        errors = {(cell.id, cell.stage): cell.numerical_error or 0.0 for cell in cells}
        resolution = resolution.scaled(1.0 / REFINE_BY)
    assert results is not None
    results = _against_readings(results)
    return replace(results, intervals=margin_intervals(case, results.study, checks()))


def _against_readings(results: Results) -> Results:
    """The results with what was read at the press."""
    if not results.case.press.has_readings:
        return results
    # what readings are held against takes time to load, and most checks are of joints not pressed yet
    from hoopwright.pressing.contradiction import against_readings

    rows, found = against_readings(results.margins, results.case, results.study)
    return replace(results, margins=rows, readings=found)


def _worth_refining(cell: Margin, errors: Mapping[tuple[str, Stage], float]) -> bool:
    """Whether a finer mesh may settle a cell, by its error on the mesh before, if there was one."""
    if not cell.sign_is_uncertain or cell.doubt or cell.numerical_error is None:
        return False
    return cell.numerical_error <= SHRINKS_TO * errors.get((cell.id, cell.stage), float("inf"))


def _judged(case: Case, study: CaseStudy, refinements: int, progress: Progress) -> Results:
    """The margins of one study, in doubt where it contradicts the closed form."""
    comparison = compare(case, study)
    margins = worst_first(judged(evidence_of(case, study), progress))
    if comparison.contradicts:
        margins = tuple(replace(m, doubt=m.doubt or CONTRADICTED) for m in margins)
    return Results(case, study, comparison, margins, refinements)
