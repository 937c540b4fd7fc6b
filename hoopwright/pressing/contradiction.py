"""What was read at the press, held against the sizes and the friction of a case: where they contradict each
other, nothing that rests on them holds."""

from __future__ import annotations

from collections.abc import Iterable

from hoopwright.case.model import Case
from hoopwright.checks import Margin, doubted
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.pressing.inference import InferredFit, infer_fit, margins_with
from hoopwright.study import CaseStudy

READ_OTHERWISE = "what was read at the press contradicts the sizes and the friction given"

READ_LESS = "by what was read at the press it may take less force to slide the sleeve than this counts on"


def readings_contradict(case: Case, study: CaseStudy) -> bool:
    """Whether the case gives a press log or a reading that contradicts it. Raises CaseError for a faulty
    log."""
    if not case.press.has_readings:
        return False
    found = infer_fit(case, study, case_force_travel(study), with_margins=False)
    return found is not None and found.contradicted


def read_otherwise(rows: Iterable[Margin]) -> tuple[Margin, ...]:
    """The rows, all in doubt because of what was read."""
    return tuple(doubted(row, READ_OTHERWISE) for row in rows)


def lowered_by_readings(
    rows: Iterable[Margin], case: Case, study: CaseStudy, found: InferredFit
) -> tuple[Margin, ...]:
    """The rows, in doubt where they hold but would not with the force to slide it that was read."""
    if found.least_friction is None:
        return tuple(rows)
    fails = {row.id for row in margins_with(case, study, found) if row.state == "fails"}
    return tuple(
        doubted(row, READ_LESS) if row.id in fails and row.state == "holds" else row for row in rows
    )
