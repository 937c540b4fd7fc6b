"""The readings of a land as they were written down, station by station."""

from __future__ import annotations

from typing import Any

from hoopwright.geometry.readings import LandReadings, Station


def stations_part(readings: LandReadings) -> list[dict[str, Any]]:
    """Every reading with its place, its gauge and the temperature of the part, nothing corrected."""
    return [
        {
            "z_mm": station.z,
            "gauge": station.gauge.name,
            "part_temperature_degC": 20.0 + station.temperature_rise,
            "temperature_plus_minus_K": station.temperature_plus_minus,
            "readings": _readings(station),
        }
        for station in readings.stations
    ]


def _readings(station: Station) -> list[dict[str, Any]]:
    angles: tuple[float | None, ...] = station.angles or (None,) * len(station.values)
    written: list[str | None] = [f"{number} {station.unit}" for number in station.written]
    written = written or [None] * len(station.values)
    return [
        {"angle_deg": angle, "diameter_mm": value, "written": text}
        for angle, value, text in zip(angles, station.values, written, strict=True)
    ]
