"""What was read at the press, held against the sizes and the friction of a case: where they contradict each
other, nothing that rests on them holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from hoopwright.case.model import Case
from hoopwright.checks import Margin, doubted, evidence_of
from hoopwright.checks.closure_read import closure_doubt
from hoopwright.checks.grip import left_by_proof
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.pressing.inference import InferredFit, infer_fit, margins_with
from hoopwright.study import CaseStudy

READ_OTHERWISE = "what was read at the press contradicts the sizes and the friction given"

READ_LESS = "by what was read at the press it may take less force to slide the sleeve than this counts on"


def against_readings(
    rows: Iterable[Margin], case: Case, study: CaseStudy
) -> tuple[tuple[Margin, ...], InferredFit | None]:
    """The rows of the joint as the case has it, in doubt where what was read at the press does not bear
    them out: all of them where it contradicts the case. Beside them what was read, None where nothing was.
    Raises CaseError for a faulty log."""
    if not case.press.has_readings:
        return tuple(rows), None
    found = infer_fit(case, study, case_force_travel(study), with_margins=False)
    if found is None:
        return tuple(rows), None
    if found.contradicted:
        return read_otherwise(rows), found
    return lowered_by_readings(rows, case, study, found), found


def contradicts(case: Case, study: CaseStudy, found: InferredFit | None) -> bool:
    """Whether what was read at the press contradicts the case: a force, its shape or, with a force or by
    itself, the closure of the bore."""
    return (found is not None and found.contradicted) or bool(closure_doubt(evidence_of(case, study)))


def for_another_sleeve(case: Case, study: CaseStudy, found: InferredFit | None) -> Case:
    """The case as another sleeve in this shell is judged: by no more friction than was read as this one was
    pressed in, and by no greater share of what is computed than a slip at the load of [proof] leaves of
    this joint. That load itself bounds this joint alone."""
    proof = case.proof
    if proof is not None and proof.slipped:
        case = replace(case, proof=replace(proof, left=left_by_proof(evidence_of(case, study))))
    least = None if found is None else found.least_friction
    if least is None:
        return case
    _, high = case.pressing_friction
    lowered = replace(case, press=replace(case.press, friction_low=least, friction_high=high))
    return replace(lowered, fit=replace(case.fit, friction_low=least)) if case.one_friction else lowered


def read_otherwise(rows: Iterable[Margin]) -> tuple[Margin, ...]:
    """The rows, all in doubt because of what was read."""
    return tuple(doubted(row, READ_OTHERWISE) for row in rows)


def lowered_by_readings(
    rows: Iterable[Margin], case: Case, study: CaseStudy, found: InferredFit
) -> tuple[Margin, ...]:
    """The rows, in doubt where they hold but, with the force to slide it that was read, would not, or not
    beyond doubt."""
    rows = tuple(rows)
    if found.least_friction is None or not rows:
        return rows
    read = {row.id: row.state for row in margins_with(case, study, found)}
    return tuple(
        doubted(row, READ_LESS) if row.state == "holds" and read.get(row.id) != "holds" else row
        for row in rows
    )
