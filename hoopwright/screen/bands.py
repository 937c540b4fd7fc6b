"""Bands of diameters to cut to, in columns of both systems of units."""

from __future__ import annotations

from typing import Any

from hoopwright.display.units import Units


def order_of(units: Units) -> tuple[str, str]:
    """Both units of a diameter, the reader's first."""
    return ("in", "mm") if units.system == "inch" else ("mm", "in")


def band_lines(band: dict[str, Any], shop: float, units: Units, indent: str = "") -> list[str]:
    """The band of a land at 20 °C, and as the gauge shows it at the temperature of the shop, °C."""
    place = f"land {band['land']}, z {units.along_span(band['z_start_mm'], band['z_end_mm'])}"
    lines = [_sizes(f"{indent}{place}, at {units.temperature(20.0)}", band, "readable", units)]
    if shop != 20.0:
        shown = f"{indent}  as the gauge shows it at {units.temperature(shop)}"
        lines.append(_sizes(shown, band, "shop_readable", units))
    return lines


def _sizes(name: str, band: dict[str, Any], which: str, units: Units) -> str:
    first, second = (_size(band[f"{which}_{unit}"], unit) for unit in order_of(units))
    return f"{name:40.40s} {first:>18s} {second:>18s}"


def _size(pair: list[float] | None, unit: str) -> str:
    if pair is None:
        return "no readable size"
    one, other = (f"{v:.{4 if unit == 'in' else 3}f}" for v in pair)
    return f"{one} only" if one == other else f"{one} to {other}"
