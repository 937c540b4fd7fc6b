"""The steps of the job, in the order of work."""

from __future__ import annotations

from hoopwright.page.model import Step
from hoopwright.page.steps import damage, fit, in_use, piece, routes, sizes, use

STEPS: tuple[Step, ...] = (
    piece.STEP,
    sizes.STEP,
    damage.STEP,
    use.STEP,
    routes.STEP,
    fit.STEP,
    in_use.STEP,
)
