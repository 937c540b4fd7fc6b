"""Materials as one JSON document: every value, what stock it is of, and where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from math import isinf
from typing import Any

from hoopwright.document.heading import tool_part
from hoopwright.materials import HeatShares, Material, MeanExpansions
from hoopwright.materials.stock import StockStrength

ZERO_RISE_DEGC = 20.0
FIELDS = {
    "young_modulus": "young_modulus_MPa",
    "poisson_ratio": "poisson_ratio",
    "expansion": "expansion_per_K",
    "yield_strength": "yield_strength_MPa",
    "ultimate_strength": "ultimate_strength_MPa",
    "density": "density_kg_m3",
    "heat_limit": "heat_limit_degC",
}


def document(materials: Mapping[str, Material]) -> dict[str, Any]:
    """Some materials in full."""
    return {**tool_part("materials"), "materials": [_row(key, row) for key, row in materials.items()]}


def _row(key: str, row: Material) -> dict[str, Any]:
    values = {shown: getattr(row, field) for field, shown in FIELDS.items()}
    if row.heat_limit is not None:
        values["heat_limit_degC"] = ZERO_RISE_DEGC + row.heat_limit
    return {
        "key": key,
        "name": row.name,
        "condition": row.condition,
        "heat_affected_of": row.heat_affected_of,
        "form": row.form or None,
        "direction": row.direction or None,
        "thickness_mm": None if row.thickness is None else _thickness(*row.thickness),
        **values,
        "strengths": [_strength(one) for one in row.strengths],
        "expansions": _by_temperature(row.expansions, "expansion_per_K"),
        "reheating": _by_temperature(row.reheating, "share_of_yield"),
        "hot": _by_temperature(row.hot, "share_of_yield"),
        "sources": [
            {"of": FIELDS.get(line.field, line.field), "basis": line.basis, "source": line.source}
            for line in row.provenance
        ],
    }


def _thickness(above: float, to: float) -> dict[str, float | None]:
    return {"above": above, "to": None if isinf(to) else to}


def _strength(one: StockStrength) -> dict[str, Any]:
    return {
        "forms": list(one.forms),
        "direction": one.direction,
        "thickness_mm": _thickness(one.above, one.to),
        "yield_strength_MPa": one.yield_strength,
        "ultimate_strength_MPa": one.ultimate_strength,
        "basis": one.basis,
        "source": one.source,
    }


def _by_temperature(curve: MeanExpansions | HeatShares | None, key: str) -> dict[str, Any] | None:
    """Points of a property by temperature, its value under `key`; None where none is known."""
    if curve is None:
        return None
    points = [
        {"temperature_degC": round(ZERO_RISE_DEGC + rise, 3), key: value} for rise, value in curve.points
    ]
    return {"points": points, "basis": curve.basis, "source": curve.source}
