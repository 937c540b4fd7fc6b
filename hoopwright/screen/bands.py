"""Bands of diameters to cut to, in columns of both systems of units."""

from __future__ import annotations

from typing import Any

from hoopwright.display.units import Units

INCH = 25.4


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


def aim_lines(band: dict[str, Any], shop: float, units: Units) -> list[str]:
    """The size to aim for in the band of a land, at 20 °C and as the gauge shows it; of a land that tapers
    band and aim at both ends, and nothing of its middle."""
    if not band["ends"]:
        return _aims(band, shop, units)
    lines = ["  it tapers: that is the middle of the land, its ends are"]
    for end in band["ends"]:
        lines.append(_sizes(f"  z {units.along(end['z_mm'])}", end, "readable", units))
        if shop != 20.0:
            lines.append(
                _sizes(
                    f"    as the gauge shows it at {units.temperature(shop)}", end, "shop_readable", units
                )
            )
        lines += _aims(end, shop, units)
    return lines


def _aims(part: dict[str, Any], shop: float, units: Units) -> list[str]:
    if part["aim_mm"] is None or part["shop_aim_mm"] is None:
        return []
    if shop == 20.0:
        return [_aim("  aim at", part["aim_mm"], units)]
    lines = [_aim("  aim at, as the gauge shows it there", part["shop_aim_mm"], units)]
    return [*lines, _aim(f"    which is at {units.temperature(20.0)}", part["aim_mm"], units)]


def _aim(name: str, millimetres: float, units: Units) -> str:
    first, second = (_number(millimetres / (INCH if u == "in" else 1.0), u) for u in order_of(units))
    return f"{name:40.40s} {first:>18s} {second:>18s}"


def _sizes(name: str, band: dict[str, Any], which: str, units: Units) -> str:
    first, second = (_size(band[f"{which}_{unit}"], unit) for unit in order_of(units))
    return f"{name:40.40s} {first:>18s} {second:>18s}"


def _size(pair: list[float] | None, unit: str) -> str:
    if pair is None:
        return "no readable size"
    one, other = (_number(v, unit) for v in pair)
    return f"{one} only" if one == other else f"{one} to {other}"


def _number(value: float, unit: str) -> str:
    return f"{value:.{4 if unit == 'in' else 3}f}"
