"""Finished parts in a JSON document: press them, or the ways out, with margins and changes of the case."""

from __future__ import annotations

from math import inf
from typing import Any

from hoopwright.came_out.answer import CameOut
from hoopwright.came_out.changes import Change, LandSize
from hoopwright.came_out.resizing import LandFate
from hoopwright.came_out.way import Way
from hoopwright.checks.margin import Margin
from hoopwright.sizing.band import Band, BandEnd
from hoopwright.sizing.rounding import readable_band


def came_out_part(found: CameOut | None, shop_temperature: float) -> dict[str, Any] | None:
    """The answer on finished parts; None where there is none. shop_temperature: °C."""
    if found is None:
        return None
    return {
        "press": found.press,
        "state": found.state,
        "verdict": found.verdict,
        "note": found.note,
        "off": [_off(fate) for fate in found.off],
        "ways": [way_part(one) for one in found.ways],
        "not_possible": [{"id": one.id, "title": one.title, "why": one.why} for one in found.cannot],
        "never": found.never,
        "shop_temperature_degC": shop_temperature,
    }


def way_part(one: Way) -> dict[str, Any]:
    """One way that was judged: what governs, what to cut to, and what the case would say."""
    row = one.governing
    return {
        "id": one.id,
        "title": one.title,
        "state": one.state,
        "margin": None if row is None else row.margin,
        "governs": None if row is None else {"id": row.id, "title": row.title, "stage": row.stage},
        "why": one.why,
        "cut": one.cut,
        "bands": [band_part(b) for b in one.bands],
        "sizes": [_size(size) for size in one.sizes],
        "changes": [_change(change) for change in one.changes],
        "wall_left_mm": one.wall,
        "advice": list(one.advice),
        "checks": [_check(m) for m in one.margins if m.margin is not None],
    }


def band_part(b: Band) -> dict[str, Any]:
    """Band of diameters for one land."""
    return {
        "land": b.index + 1,
        "z_start_mm": b.z_start,
        "z_end_mm": b.z_end,
        "low_mm": b.low,
        "high_mm": b.high,
        "shop_low_mm": b.shop_low,
        "shop_high_mm": b.shop_high,
        "guard_um": 1e3 * b.guard,
        "makeable": b.makeable,
        "readable_mm": b.readable("metric"),
        "readable_in": b.readable("inch"),
        "shop_readable_mm": b.shop_readable("metric"),
        "shop_readable_in": b.shop_readable("inch"),
        "aim_mm": b.aim,
        "shop_aim_mm": b.shop_aim,
        "chance": b.chance,
        "chance_at_the_first_cut": b.first_chance,
        "ends": [_end_part(b, end) for end in b.ends],
    }


def _end_part(b: Band, end: BandEnd) -> dict[str, Any]:
    """Band and aim at one end of a tapered land."""
    found: dict[str, Any] = {
        "z_mm": end.z,
        "low_mm": end.low,
        "high_mm": end.high,
        "shop_low_mm": end.shop_low,
        "shop_high_mm": end.shop_high,
        "aim_mm": end.aim,
        "shop_aim_mm": end.shop_aim,
    }
    limits = (("", end.low, end.high), ("shop_", end.shop_low, end.shop_high))
    for where, low, high in limits:
        for unit, system in (("mm", "metric"), ("in", "inch")):
            found[f"{where}readable_{unit}"] = readable_band(low, high, system, b.resolution)
    return found


def _off(fate: LandFate) -> dict[str, Any]:
    """How far a land of the sleeve lies outside the band that suits the bore: positive is too large."""
    return {"land": fate.band.index + 1, "fate": fate.fate, "off_mm": fate.off}


def _size(size: LandSize) -> dict[str, Any]:
    return {"part": size.part, "land": size.index + 1, "diameter_mm": size.diameter_mm}


def _change(change: Change) -> dict[str, Any]:
    return {
        "table": change.table,
        "land": change.land,
        "set": dict(change.values),
        "drop": list(change.dropped),
    }


def _check(row: Margin) -> dict[str, Any]:
    return {
        "id": row.id,
        "title": row.title,
        "margin": row.margin,
        "margin_without_end": row.margin == inf,
        "state": row.state,
        "stage": row.stage,
    }
