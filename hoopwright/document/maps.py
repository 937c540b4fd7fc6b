"""JSON document of the maps of the joint in use. Every dimensional key ends in its unit.

The values of the maps are rounded to what a map can tell; the rows have every digit.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np

from hoopwright.cautions import CAUTIONS
from hoopwright.checks import Margin
from hoopwright.document.check import state_part
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.maps import AtTemperature, Maps, Moment, SeatMap, SectionGrid
from hoopwright.maps.moments import IN_USE, Nearest
from hoopwright.maps.section import LEVELS, section_limit, section_stress
from hoopwright.pipeline import CONTRADICTED, Results
from hoopwright.pressing.contradiction import READ_OTHERWISE


def document(results: Results, maps: Maps | None) -> dict[str, Any]:
    """The maps of a checked case. maps: None where they are withheld, see `withheld`."""
    return plain(
        {
            **heading_part(results.case, "maps"),
            "withheld": withheld(results),
            "quantity": "von Mises stress as the rows judge it at bore and outside; between the two every "
            "component runs along a straight line",
            "levels": LEVELS.tolist(),
            "bodies": [] if maps is None else [_grid(grid) for grid in maps.grids],
            "moments": []
            if maps is None
            else [_moment(results, one, maps.grids, k) for k, one in enumerate(maps.moments, start=1)],
            "seat": {
                "opening": None if maps is None else _seat(maps.opening, "pressure_MPa", 2),
                "slip": None if maps is None else _seat(maps.slip, "share_of_grip", 3),
            },
            "temperatures": [] if maps is None else [_at(one) for one in maps.temperatures],
            "cautions": list(CAUTIONS),
        }
    )


def withheld(results: Results) -> str:
    """Why there is nothing to show, "" where there is: what does not stand is not drawn."""
    if results.comparison.contradicts:
        return CONTRADICTED
    return READ_OTHERWISE if results.contradicted_by_readings else ""


def _grid(grid: SectionGrid) -> dict[str, Any]:
    return {
        "body": grid.body,
        "z_mm": _rounded(grid.z, 3),
        "bore_mm": _rounded(grid.bore, 3),
        "outside_mm": _rounded(grid.outside, 3),
    }


def _moment(results: Results, one: Moment, grids: tuple[SectionGrid, ...], number: int) -> dict[str, Any]:
    shift = one.fit.state.shift
    return {
        "id": f"m{number}",
        "load_case": one.load_case,
        "state": state_part(one.when),
        "interference_um": 1e3 * (results.study.nominal_interference + shift),
        "theta_deg": one.theta,
        "nearest": one.body,
        "rows": [_row(results, body) for body in one.governs],
        "bodies": [
            {
                "body": grid.body,
                "stress_MPa": _rounded(section_stress(one, grid), 2),
                "limit_MPa": _rounded(section_limit(one, grid), 2),
                "nearest": _nearest(one.nearest.get(grid.body)),
            }
            for grid in grids
        ],
    }


def _nearest(found: Nearest | None) -> dict[str, Any] | None:
    """Where all round a body is nearest its limit; None where it is not judged then."""
    if found is None:
        return None
    return {
        "surface": found.surface,
        "z_mm": found.z,
        "r_mm": found.r,
        "theta_deg": found.theta,
        "stress_MPa": found.stress,
        "limit_MPa": found.limit,
        "share": found.share,
    }


def _row(results: Results, body: str) -> dict[str, Any]:
    """The row of a body that a moment governs, as judged in use."""
    row = next(m for m in results.margins if m.id == f"{body}_yields")
    cell: Margin = next((c for c in row.cells if c.stage == IN_USE), row)
    return {
        "id": row.id,
        "title": row.title,
        "demand_MPa": None if cell.demand is None else cell.demand.value,
        "numerical_error_MPa": None if cell.demand is None else cell.demand.error,
        "margin": cell.margin,
        "state": cell.state,
        "doubt": cell.doubt,
    }


def _seat(found: SeatMap | None, key: str, decimals: int) -> dict[str, Any] | None:
    if found is None:
        return None
    value, z, theta = found.nearest
    return {
        "state": state_part(found.when),
        "z_mm": _rounded(found.z, 3),
        "theta_deg": _rounded(found.theta, 3),
        key: _rounded(found.value, decimals),
        "judged": found.judged.tolist(),
        "runs": [list(run) for run in found.runs],
        "averaged_over_mm": found.averaging_length,
        "nearest": {key: value, "z_mm": z, "theta_deg": theta},
    }


def _at(one: AtTemperature) -> dict[str, Any]:
    names = "least", "likely", "greatest"
    return {
        "temperature_degC": 20.0 + one.rise,
        "interference_um": dict(zip(names, (1e3 * value for value in one.interference), strict=True)),
        "pressure_MPa": dict(zip(names, one.pressure, strict=True)),
    }


def _rounded(values: np.ndarray, decimals: int) -> list[Any]:
    """Numbers as a list of the same shape, None for what is none."""
    if values.ndim > 1:
        return [_rounded(part, decimals) for part in values]
    return [round(float(v), decimals) + 0.0 if isfinite(v) else None for v in values]
