"""Band of diameters to cut a land to, and the one size in it to aim for."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.sizing.rounding import readable_band


@dataclass(frozen=True)
class BandEnd:
    """Band and aim at one end of a tapered land: z, and diameters as of Band, mm."""

    z: float
    low: float
    high: float
    shop_low: float
    shop_high: float
    aim: float | None = None
    shop_aim: float | None = None


@dataclass(frozen=True)
class Band:
    """Band of diameters for one land of the part to be cut.

    low, high: limits at 20 °C, mm; any reading between them leaves the fit in the window; low is above high
    where there is no such reading. shop_low, shop_high: what the gauge shows for those limits at the shop
    temperature, mm. guard: deducted from each side of the window, mm. units: of the micrometer, "metric" or
    "inch"; resolution: its step, mm, or None.

    aim: the size to aim for at 20 °C, and shop_aim as the gauge shows it at the shop temperature, mm, both
    on a step of the micrometer; None where it can show none. chance: of ending inside the band, cut again
    whenever it comes out with metal to spare; first_chance: at the first cut. ends: of a land that tapers,
    whose other sizes are those at mid-length; () of a cylinder.
    """

    index: int
    z_start: float
    z_end: float
    low: float
    high: float
    shop_low: float
    shop_high: float
    guard: float

    units: str = "metric"
    resolution: float | None = None

    aim: float | None = None
    shop_aim: float | None = None
    chance: float | None = None
    first_chance: float | None = None
    ends: tuple[BandEnd, ...] = ()

    @property
    def makeable(self) -> bool:
        """Whether a size that the gauge can show lies in the band, and in that of each end."""
        limits = ((self.low, self.high), *((end.low, end.high) for end in self.ends))
        return all(readable_band(*pair, self.units, self.resolution) is not None for pair in limits)

    def readable(self, units: str) -> tuple[float, float] | None:
        """Limits at 20 °C, rounded inwards to what a micrometer shows, in mm or inches."""
        return readable_band(self.low, self.high, units, self.resolution)

    def shop_readable(self, units: str) -> tuple[float, float] | None:
        """Limits as the gauge shows them at the shop temperature, rounded inwards, in mm or inches."""
        return readable_band(self.shop_low, self.shop_high, units, self.resolution)
