"""JSON document of the cells as functions of the interference. Every dimensional key ends in its unit."""

from __future__ import annotations

from math import inf
from typing import Any

from hoopwright.cautions import CAUTIONS
from hoopwright.checks import Margin
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.document.size import window_part
from hoopwright.sizing.cell_curves import TOLERANCE, CellCurve, CellCurves, NeedsSolve
from hoopwright.sizing.window import End, Window


def document(found: CellCurves) -> dict[str, Any]:
    """Demand, capacity and margin of every cell along the planned interference, and the window."""
    study = found.study
    likely = study.nominal_interference
    return plain(
        {
            **heading_part(found.case, "curves"),
            "fit": {
                "likely_um": 1e3 * likely,
                "half_width_um": 1e3 * study.interference_half_width,
                "smoothing_um": 1e3 * study.interference.smoothing,
            },
            "window": window_part(found.window),
            "ends": {
                "least": _end(found.window, found.window.low, "needs at least"),
                "greatest": _end(found.window, found.window.high, "allows at most"),
            },
            "interference_um": [1e3 * (likely + shift) for shift in found.shifts],
            "own": found.own,
            "tolerance": TOLERANCE,
            "cells": [_curve(curve) for curve in found.curves],
            "needs_solve": [_needs_solve(one) for one in found.needs_solve],
            "cautions": list(CAUTIONS),
        }
    )


def _end(window: Window, end: End | None, clash: str) -> dict[str, Any] | None:
    """The cell that ends the window, or that leaves none; None where no cell does."""
    by = None if end is None else end.by
    by = by or next((c.margin for c in window.conflicts if c.relation == clash), None)
    if by is None:
        return None
    rise = by.when.temperature_rise
    return {
        "id": by.id,
        "stage": by.stage,
        "temperature_degC": None if rise is None else 20.0 + rise,
        "load_case": by.when.load_case,
    }


def _named(cell: Margin) -> dict[str, Any]:
    return {"id": cell.id, "title": cell.title, "stage": cell.stage}


def _curve(curve: CellCurve) -> dict[str, Any]:
    cells = curve.at
    return _named(curve.own) | {
        "unit": curve.own.unit,
        "factor": curve.own.factor,
        "worse_end": curve.worse_end,
        "demand": [None if cell.demand is None else cell.demand.value for cell in cells],
        "capacity": [None if cell.capacity is None else cell.capacity.value for cell in cells],
        "margin": [cell.margin for cell in cells],
        "margin_without_end": [cell.margin == inf for cell in cells],
        "numerical_error": [cell.numerical_error for cell in cells],
        "state": [cell.state for cell in cells],
        "doubt": [cell.doubt for cell in cells],
        "bends": list(curve.bends),
    }


def _needs_solve(one: NeedsSolve) -> dict[str, Any]:
    return _named(one.own) | {"margin": one.own.margin, "state": one.own.state, "why": one.why}
