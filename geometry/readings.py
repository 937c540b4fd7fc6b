"""Sizes as they were read: a gauge, the stations where it was applied, and the land they describe."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Gauge:
    """An instrument that reads diameters.

    resolution: smallest step it shows, mm. accuracy: how far it may be off, mm; with coverage None a
    limit that is not exceeded (maximum permissible error), else an expanded uncertainty with that
    coverage factor. zero_error: limit of the error of setting it, mm. repeatability: standard
    deviation of one reading, mm, or None where not known. contacts: 2 or 3 points on the surface.
    temperature_rise: K above 20 °C, of the gauge and what it was set against; expansion: theirs, 1/K.
    """

    name: str
    resolution: float
    accuracy: float
    zero_error: float = 0.0
    coverage: float | None = None
    repeatability: float | None = None
    contacts: int = 2
    temperature_rise: float = 0.0
    expansion: float = 11.5e-6
    type: str = ""


@dataclass(frozen=True)
class Station:
    """Diameters read at one place along the axis.

    z: mm. angles: clock angles, degrees, one per value, or () where not noted. values: mm, as read.
    temperature_rise: of the part, K above 20 °C; temperature_plus_minus: how well that is known, K.
    """

    z: float
    angles: tuple[float, ...]
    values: tuple[float, ...]
    gauge: Gauge
    temperature_rise: float = 0.0
    temperature_plus_minus: float = 0.0

    def __post_init__(self) -> None:
        if not self.values:
            raise ValueError(f"no value at z = {self.z} mm")
        if self.angles and len(self.angles) != len(self.values):
            raise ValueError(f"{len(self.angles)} angles for {len(self.values)} values at z = {self.z} mm")


@dataclass(frozen=True)
class LandReadings:
    """All readings of one land, z_start to z_end in mm."""

    z_start: float
    z_end: float
    stations: tuple[Station, ...]

    @property
    def count(self) -> int:
        return sum(len(s.values) for s in self.stations)
