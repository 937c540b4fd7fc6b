"""Cells of a row, by stage, and what a bore off centre makes of stress."""

from __future__ import annotations

from hoopwright.checks.margin import Margin, Stage
from hoopwright.closed_form.eccentric_tube import thin_side_hoop


def cell_of(row: Margin, stage: Stage) -> Margin:
    """The cell of a stage, which the row must have."""
    return next(cell for cell in row.cells if cell.stage == stage)


def stages_of(row: Margin) -> list[Stage]:
    """The stages judged, in order."""
    return [cell.stage for cell in row.cells]


def thin_side_rise(*, bore: float, outside: float, runout: float) -> float:
    """Rise of the hoop stress of a plane tube under pressure when its bore moves off centre by half the
    runout. Diameters, mm."""
    moved, centred = (
        thin_side_hoop(a=0.5 * bore, b=0.5 * outside, eccentricity=e) for e in (0.5 * runout, 0.0)
    )
    return float(moved / centred)
