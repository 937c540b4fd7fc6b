"""The one size of a band to aim at."""

from __future__ import annotations

from hoopwright.sizing.rounding import INCH, reading_step
from hoopwright.sizing.turn_to import Band


def shop_aim(band: Band, units: str) -> float | None:
    """What the gauge should show at the shop temperature, in mm or inches: the middle of the band, on a
    step of the gauge; None where the band holds no size that the gauge can show. units: "metric" or "inch".
    """
    ends = band.shop_readable(units)
    if ends is None:
        return None
    step, unit = reading_step(band.resolution, units), INCH if units == "inch" else 1.0
    middle = 0.5 * (band.shop_low + band.shop_high) / unit
    return min(max(round(round(middle / step) * step, 5), ends[0]), ends[1])
