"""Read the parts of a row of the materials table that hang on stock and on heat."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import Any

from hoopwright.materials.model import HeatShares, MeanExpansions
from hoopwright.materials.stock import DIRECTIONS, FORMS, StockStrength

ZERO_CELSIUS_RISE = 20.0
"""The reference temperature, °C, above which temperatures are counted inside."""


def labelled(entry: Mapping[str, Any], sources: Mapping[str, str], *, where: str) -> tuple[str, str]:
    """Basis and source of an entry. Raises ValueError where either is missing or not known."""
    for key in ("basis", "source"):
        if not entry.get(key):
            raise ValueError(f"{where}: no {key}")
    if entry["source"] not in sources:
        raise ValueError(f"{where}: no source {entry['source']!r} in [sources]")
    return entry["basis"], sources[entry["source"]]


def stock_of(row: Mapping[str, Any], *, where: str) -> dict[str, Any]:
    """Form, direction and thickness of the stock that the strengths of a row are of."""
    form, direction, thickness = (row.get(key) for key in ("form", "direction", "thickness_mm"))
    if form not in FORMS:
        raise ValueError(f"{where} form: one of {', '.join(FORMS)} is needed")
    if direction not in DIRECTIONS:
        raise ValueError(f"{where} direction: one of {', '.join(DIRECTIONS)} is needed")
    if not thickness or not 0.0 <= thickness[0] < thickness[1]:
        raise ValueError(f"{where} thickness_mm: two numbers that rise are needed")
    above, to = map(float, thickness)
    return {"form": form, "direction": direction, "thickness": (above, to)}


def stock_strengths(
    row: Mapping[str, Any], sources: Mapping[str, str], *, where: str
) -> tuple[StockStrength, ...]:
    """Strengths of other stock, thinnest first."""
    found = []
    for number, entry in enumerate(row.get("strengths", ()), start=1):
        place = f"{where} strengths {number}"
        above, to = (float(value) for value in entry["thickness_mm"])
        tensile = entry.get("ultimate")
        try:
            strength = StockStrength(
                tuple(entry["forms"]),
                entry["direction"],
                above,
                to,
                float(entry["yield"]),
                None if tensile is None else float(tensile),
                *labelled(entry, sources, where=place),
            )
        except ValueError as error:
            raise ValueError(f"{place}: {error}") from None
        found.append(strength)
    return tuple(sorted(found, key=lambda one: (one.forms, one.direction, one.above)))


def heat_shares(row: Mapping[str, Any], sources: Mapping[str, str], *, where: str) -> dict[str, Any]:
    """What heat leaves of the yield strength, and what there is while hot. Temperatures stand in °C."""
    found: dict[str, Any] = {}
    for name in ("reheating", "hot"):
        entry = row.get(name)
        found[name] = None if entry is None else _shares(entry, sources, where=f"{where} {name}")
    return found


def mean_expansions(
    row: Mapping[str, Any], sources: Mapping[str, str], *, where: str
) -> MeanExpansions | None:
    """Mean expansion by temperature, which stands in °C and starts at that of the row; None where none."""
    entry, place = row.get("expansions"), f"{where} expansions"
    if entry is None:
        return None
    points = tuple((float(t) - ZERO_CELSIUS_RISE, float(mean)) for t, mean in entry["points"])
    rises = [rise for rise, _ in points]
    if rises != sorted(set(rises)) or points[0][1] != float(row["expansion"]["value"]):
        raise ValueError(f"{place}: temperatures must rise, and start with the expansion of the row")
    return MeanExpansions(points, *labelled(entry, sources, where=place))


def _shares(entry: Mapping[str, Any], sources: Mapping[str, str], *, where: str) -> HeatShares:
    points = tuple((float(t) - ZERO_CELSIUS_RISE, float(share)) for t, share in entry["points"])
    rises, shares = zip(*points, strict=True)
    if list(rises) != sorted(set(rises)) or not all(0.0 < share <= 1.0 for share in shares):
        raise ValueError(f"{where}: temperatures must rise and shares lie above 0 and up to 1")
    if max(rises) == inf or list(shares) != sorted(shares, reverse=True):
        raise ValueError(f"{where}: shares must fall with temperature")
    return HeatShares(points, *labelled(entry, sources, where=where))
