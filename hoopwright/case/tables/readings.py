"""[[shell.bore.readings]] and the like: readings of the land above, one entry per station."""

from __future__ import annotations

import re
from math import degrees
from typing import Any, NamedTuple

from hoopwright.case import quantity
from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.reader_units import lengths_in
from hoopwright.case.table import MAX_TEXT_LENGTH, Table
from hoopwright.case.tables.gauge import choose_gauge, gauge_key
from hoopwright.geometry.readings import Gauge, LandReadings, Station

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")

CONDITIONS = (
    gauge_key("of readings: once in the land for all its stations, or in each"),
    Key(
        "part_temperature",
        "temperature",
        "of the part when it was read; likewise",
        default="20 degC",
        limits="-40 degC to 150 degC",
    ),
    Key(
        "temperature_plus_minus",
        "temperature_difference",
        "uncertainty of that temperature; likewise",
        "1 K",
        "0 K to 50 K",
        default="0 K",
    ),
)
READINGS = TableKeys(
    "readings",
    "readings of the land, one entry per station",
    keys=(
        Key("z", "length", "position along the shell", "5 mm"),
        Key(
            "values", "lengths", "diameters as read", "41.003 41.001 41.002 mm", max_length=MAX_TEXT_LENGTH
        ),
        optional(
            "angles", "angles", "clock angles, one per value", "0 60 120 deg", max_length=MAX_TEXT_LENGTH
        ),
        Key("confirmed", "flag", "what stands out of its values was read again and is so", default=False),
        *CONDITIONS,
    ),
    rows=True,
)


def read_readings(land: Table) -> LandReadings | None:
    """Readings listed under a land, or None where there are none or they are faulty."""
    rows = land.rows("readings")
    z_start, z_end = land.get("from"), land.get("to")
    land_conditions = _conditions(land, for_station=False)
    stations = [_station(row, land_conditions, z_start, z_end) for row in rows or ()]
    if not stations or None in stations or z_start is None or z_end is None:
        return None
    return land.build(LandReadings, z_start=z_start, z_end=z_end, stations=tuple(stations))


def _conditions(
    table: Table, *, for_station: bool, land_conditions: dict[str, Any] | None = None
) -> dict[str, Any]:
    """Gauge and temperature of a land, or of a station (`for_station`), which falls back on its land's."""
    result = dict(land_conditions or {})
    if table.has("gauge") or (for_station and result.get("gauge") is None):
        result["gauge"] = choose_gauge(table)
    if table.has("part_temperature") or not for_station:
        result["rise"] = table.get("part_temperature")
    if table.has("temperature_plus_minus") or not for_station:
        result["unsure"] = table.get("temperature_plus_minus")
    return result


def _station(row: Table, land_conditions: dict[str, Any], z_start: Any, z_end: Any) -> Station | None:
    conditions = _conditions(row, for_station=True, land_conditions=land_conditions)
    z = row.get("z")
    if None not in (z, z_start, z_end) and not z_start - 1e-6 <= z <= z_end + 1e-6:
        land = lengths_in(f"{z_start:g} to {z_end:g} mm", row.system)
        row.fault("z", f"outside its land, {land}", "give z as on the shell")
    read = _numbers(row, "values", "length")
    angles = _numbers(row, "angles", "angle") if row.has("angles") else _Numbers((), (), "", 1.0)
    if read is not None and any(not v > 0.0 for v in read.values):
        row.fault("values", "a diameter that is not above zero", "give the diameters as read")
    return row.build(
        _make_station,
        z=z,
        read=read,
        angles=angles,
        confirmed=row.get("confirmed"),
        gauge=conditions.get("gauge"),
        temperature_rise=conditions.get("rise"),
        temperature_plus_minus=conditions.get("unsure"),
    )


class _Numbers(NamedTuple):
    """Numbers with one unit: in the internal unit of their kind, and as they were written, in a unit of
    that size."""

    values: tuple[float, ...]
    written: tuple[str, ...]
    unit: str
    size: float


def _make_station(*, gauge: Gauge, read: _Numbers, angles: _Numbers, **conditions: Any) -> Station:
    return Station(
        gauge=gauge,
        angles=tuple(degrees(a) for a in angles.values),
        values=read.values,
        written=read.written,
        unit=read.unit,
        unit_mm=read.size,
        **conditions,
    )


def _numbers(row: Table, key: str, kind: str) -> _Numbers | None:
    """Numbers followed by one unit, e.g. "41.003 41.001 mm"."""
    text = row.get(key, required=True)
    if text is None:
        return None
    *numbers, unit = text.split() or [""]
    advice = f'write e.g. {key} = "{row.declared.key(key).example}"'
    if not numbers:
        row.fault(key, "needs numbers followed by their unit", advice)
        return None
    for item in numbers:
        if not _NUMBER.fullmatch(item):
            row.fault(
                key,
                f"{item[:20]!r} is not a number",
                f"separate the numbers by spaces, one unit last; {advice}",
            )
            return None
    try:  # check the first and the largest by the full grammar of a quantity; all share one unit
        quantity.parse(f"{numbers[0]} {unit}", kind)
        size = quantity.parse(f"1 {unit}", kind)
        max_length = max(numbers, key=lambda n: abs(float(n)))
        quantity.parse(f"{max_length} {unit}", kind)
    except quantity.QuantityError as error:
        row.fault(key, error.problem, f"{error.hint}; {advice}" if error.hint else advice)
        return None
    values = tuple(float(f"{float(n) * size:.12g}") for n in numbers)
    return _Numbers(values, tuple(numbers), unit, size)
