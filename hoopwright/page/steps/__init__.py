"""The steps of the job, in the order of work."""

from __future__ import annotations

from hoopwright.page.model import Step
from hoopwright.page.steps import (
    damage,
    fit,
    in_use,
    piece,
    press,
    readings,
    record,
    routes,
    sizes,
    turn_to,
    use,
)

STEPS: tuple[Step, ...] = (
    piece.STEP,
    sizes.STEP,
    damage.STEP,
    use.STEP,
    routes.STEP,
    fit.STEP,
    readings.STEP,
    turn_to.STEP,
    press.STEP,
    in_use.STEP,
    record.STEP,
)
