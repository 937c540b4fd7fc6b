"""The steps of the job, in the order of work."""

from __future__ import annotations

from hoopwright.page.model import Step
from hoopwright.page.steps import damage, fit, piece, record, routes, sizes, use

STEPS: tuple[Step, ...] = (
    piece.STEP,
    sizes.STEP,
    damage.STEP,
    use.STEP,
    routes.STEP,
    fit.STEP,
    record.STEP,
)
