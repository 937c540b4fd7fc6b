"""Gauge readings of a land: the gauge, the stations measured, and the stretch they describe."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Gauge:
    """An instrument that measures diameters.

    resolution: smallest display step, mm. accuracy: mm; with coverage None a maximum permissible error,
    else an expanded uncertainty with that coverage factor. zero_error: limit of the setting error, mm.
    repeatability: standard deviation of one reading, mm, or None where not known. contacts: 2 or 3 points
    on the surface. temperature_rise: of the gauge and its setting standard, K above 20 °C, or None where
    they are as warm as what is read; temperature_plus_minus: its limit of error, K, or None where not
    given; expansion: their coefficient of thermal expansion, 1/K. comparator: it compares the part with a
    ring or blocks that lie beside it.
    """

    name: str
    resolution: float
    accuracy: float
    zero_error: float = 0.0
    coverage: float | None = None
    repeatability: float | None = None
    contacts: int = 2
    temperature_rise: float | None = None
    expansion: float = 11.5e-6
    type: str = ""
    temperature_plus_minus: float | None = None
    comparator: bool = False

    @property
    def instrument(self) -> Gauge:
        """The gauge, however warm it was: it brings its accuracy, zero and step along."""
        return replace(self, temperature_rise=None, temperature_plus_minus=None)


@dataclass(frozen=True)
class Station:
    """Diameters read at one axial station.

    z: mm. angles: clock angles, degrees, one per value, or () where not recorded. values: mm, as read.
    temperature_rise: of the part, K above 20 °C; temperature_plus_minus: its uncertainty, K.
    confirmed: values that stand out were looked at again and are so. written: the values as they were
    written down, () where they were not, in a unit of unit_mm millimetres.
    """

    z: float
    angles: tuple[float, ...]
    values: tuple[float, ...]
    gauge: Gauge
    temperature_rise: float = 0.0
    temperature_plus_minus: float = 0.0
    confirmed: bool = False
    written: tuple[str, ...] = ()
    unit: str = "mm"
    unit_mm: float = 1.0

    def __post_init__(self) -> None:
        if not self.values:
            raise ValueError(f"no value at z = {self.z} mm")
        if self.angles and len(self.angles) != len(self.values):
            raise ValueError(f"{len(self.angles)} angles for {len(self.values)} values at z = {self.z} mm")


@dataclass(frozen=True)
class LandReadings:
    """All readings of one land, which runs from z_start to z_end, mm."""

    z_start: float
    z_end: float
    stations: tuple[Station, ...]

    @property
    def count(self) -> int:
        return sum(len(s.values) for s in self.stations)
