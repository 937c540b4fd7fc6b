"""What was read at the press, held against the sizes and the friction of a case: where they contradict each
other, nothing that rests on them holds."""

from __future__ import annotations

from collections.abc import Iterable

from hoopwright.case.model import Case
from hoopwright.checks import Margin, doubted
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.pressing.inference import has_readings, infer_fit
from hoopwright.study import CaseStudy

READ_OTHERWISE = "what was read at the press contradicts the sizes and the friction given"


def readings_contradict(case: Case, study: CaseStudy) -> bool:
    """Whether the case gives a press log or a reading that contradicts it. Raises CaseError for a faulty
    log."""
    if not has_readings(case):
        return False
    found = infer_fit(case, study, case_force_travel(study), with_margins=False)
    return found is not None and found.contradicted


def read_otherwise(rows: Iterable[Margin]) -> tuple[Margin, ...]:
    """The rows, all in doubt because of what was read."""
    return tuple(doubted(row, READ_OTHERWISE) for row in rows)
