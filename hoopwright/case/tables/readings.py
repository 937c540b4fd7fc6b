"""[[shell.bore.readings]] and the like: what was read of the land above it, one entry per station.

z = "5 mm"                      where along the shell
angles = "0 60 120 deg"         optional: clock angles, one per value
values = "41.003 41.001 41.002 mm"
gauge = "bore gauge"            or once in the land, for all its stations; likewise
part_temperature = "23 degC"      optional: 20 degC where not given
temperature_plus_minus = "1 K"    optional: how well it is known
"""

from __future__ import annotations

import re
from math import degrees
from typing import Any

from geometry.readings import Gauge, LandReadings, Station
from hoopwright.case import quantity
from hoopwright.case.table import LONGEST_TEXT, Table
from hoopwright.case.tables.gauge import choose_gauge

_ITEM = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")
SHARED = ("gauge", "part_temperature", "temperature_plus_minus")


def read_readings(land: Table) -> LandReadings | None:
    """The readings under a land, or None where there are none or they are faulty."""
    rows = land.rows("readings")
    z_start = land.length("from", example="0 mm")
    z_end = land.length("to", example="20 mm")
    shared = _conditions(land, own=False)
    stations = [_station(row, shared, z_start, z_end) for row in rows or ()]
    if not stations or None in stations or z_start is None or z_end is None:
        return None
    return land.build(LandReadings, z_start=z_start, z_end=z_end, stations=tuple(stations))


def _conditions(table: Table, *, own: bool, shared: dict[str, Any] | None = None) -> dict[str, Any]:
    """Gauge and temperature of a land, or of a station, which falls back on its land's."""
    result = dict(shared or {})
    if table.has("gauge") or (own and result.get("gauge") is None):
        result["gauge"] = choose_gauge(table)
    if table.has("part_temperature") or not own:
        result["rise"] = table.temperature(
            "part_temperature", default="20 degC", least="-40 degC", most="150 degC"
        )
    if table.has("temperature_plus_minus") or not own:
        result["unsure"] = table.quantity(
            "temperature_difference",
            "temperature_plus_minus",
            example="1 K",
            default="0 K",
            least="0 K",
            most="50 K",
        )
    return result


def _station(row: Table, shared: dict[str, Any], z_start: Any, z_end: Any) -> Station | None:
    conditions = _conditions(row, own=True, shared=shared)
    z = row.length("z", example="5 mm")
    if None not in (z, z_start, z_end) and not z_start - 1e-6 <= z <= z_end + 1e-6:
        row.fault("z", f"outside its land, {z_start:g} to {z_end:g} mm", "give z as on the shell")
    values = _numbers(row, "values", "length", "41.003 41.001 41.002 mm")
    angles = _numbers(row, "angles", "angle", "0 60 120 deg") if row.has("angles") else ()
    if values is not None and any(not v > 0.0 for v in values):
        row.fault("values", "a diameter that is not above zero", "give the diameters as read")
    return row.build(
        _make,
        z=z,
        values=values,
        angles=angles,
        gauge=conditions.get("gauge"),
        temperature_rise=conditions.get("rise"),
        temperature_plus_minus=conditions.get("unsure"),
    )


def _make(*, gauge: Gauge, angles: Any, **values: Any) -> Station:
    return Station(gauge=gauge, angles=tuple(degrees(a) for a in angles), **values)


def _numbers(row: Table, key: str, kind: str, example: str) -> tuple[float, ...] | None:
    """Numbers with one unit after the last, e.g. "41.003 41.001 mm", in the unit of the kind."""
    text = row.text(key, example=example, longest=LONGEST_TEXT)
    if text is None:
        return None
    *numbers, unit = text.split() or [""]
    advice = f'write e.g. {key} = "{example}"'
    if not numbers:
        row.fault(key, "numbers and then their unit are wanted", advice)
        return None
    for item in numbers:
        if not _ITEM.fullmatch(item):
            row.fault(
                key, f"{item[:20]!r} is not a number", f"numbers apart by spaces, one unit last; {advice}"
            )
            return None
    try:  # the first goes through the whole grammar of a quantity, the rest share its unit
        quantity.parse(f"{numbers[0]} {unit}", kind)
        size = quantity.parse(f"1 {unit}", kind)
        longest = max(numbers, key=lambda n: abs(float(n)))
        quantity.parse(f"{longest} {unit}", kind)
    except quantity.QuantityError as error:
        row.fault(key, error.problem, f"{error.hint}; {advice}" if error.hint else advice)
        return None
    return tuple(float(f"{float(n) * size:.12g}") for n in numbers)
