"""The readings of every land as they were written down: a row a station, a column an angle."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from hoopwright.display import Units
from hoopwright.record.pages.blocks import Block, heading, keep_together, table, text

Station = dict[str, Any]
PER_ROW = {True: 8, False: 3}
"""Readings side by side: as they were written in the unit of the reader, or converted beside what was."""


def as_read(d: dict[str, Any], units: Units) -> Iterator[Block]:
    """A table a land, two where its stations were read at other angles; nothing without readings."""
    if d["readings"]:
        yield heading("Readings as written down")
    for land in d["readings"]:
        name = f"{land['part']}, {land['surface']}, land {land['land']}"
        for angles, stations in groupby(land["stations"], key=_angles):
            yield from _tables(name, angles, list(stations), units)


def _tables(
    name: str, angles: tuple[float | None, ...], stations: list[Station], units: Units
) -> Iterator[Block]:
    own = all(_in_own_unit(one, units) for station in stations for one in station["readings"])
    unit = f" [{units.label('mm')}]" if own else ""
    for first in range(0, len(angles), PER_ROW[own]):
        part = slice(first, first + PER_ROW[own])
        head = ["at z", "gauge", "part at", *(_head(k, angles) for k in range(len(angles))[part])]
        rows = [
            [
                units.along(station["z_mm"]),
                station["gauge"],
                _temperature(station, units),
                *(_reading(one, units, own=own) for one in station["readings"][part]),
            ]
            for station in stations
        ]
        yield keep_together(text(f"{name}{unit}:", small=True), table(head, rows, left=2, wide=(1,)))


def _angles(station: Station) -> tuple[float | None, ...]:
    return tuple(one["angle_deg"] for one in station["readings"])


def _head(k: int, angles: tuple[float | None, ...]) -> str:
    angle = angles[k]
    return f"reading {k + 1}" if angle is None else f"{angle:g}°"


def _in_own_unit(reading: dict[str, Any], units: Units) -> bool:
    """Whether a reading was written down in the unit of the reader."""
    return reading["written"] is not None and reading["written"].split()[1] == units.label("mm")


def _reading(reading: dict[str, Any], units: Units, *, own: bool) -> str:
    """The number as written, or where it was written in another unit, converted, with that behind it."""
    if own:
        return str(reading["written"].split()[0])
    converted = units.measured_diameter(reading["diameter_mm"])
    written = reading["written"]
    return converted if written is None or _in_own_unit(reading, units) else f"{converted} ({written})"


def _temperature(station: Station, units: Units) -> str:
    """Of the part, to a tenth of a degree, with its uncertainty where one was given."""
    shown, degree = units.number(station["part_temperature_degC"], "degC", decimals=1), units.label("degC")
    unsure = station["temperature_plus_minus_K"] * (1.8 if units.system == "inch" else 1.0)
    return f"{shown} ± {unsure:.1f} {degree}" if unsure else f"{shown} {degree}"
