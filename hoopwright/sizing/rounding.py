"""Limits rounded inwards to what a micrometer shows: whole micrometres or tenths of a thou."""

from __future__ import annotations

from math import ceil, floor, log10

FINEST_MM = 0.001
FINEST_IN = 0.0001
INCH = 25.4
_SLACK = 1e-6
"""Share of a step by which floating-point rounding may move a limit that lies on a step."""


def rounded_inward(low: float, high: float, step: float) -> tuple[float, float] | None:
    """The least and the greatest whole multiple of step inside [low, high]; None where there is none.

    >>> rounded_inward(41.04012, 41.05991, 0.001)
    (41.041, 41.059)
    """
    first, last = ceil(low / step - _SLACK), floor(high / step + _SLACK)
    if first > last:
        return None
    digits = max(0, round(-log10(step)) + 1)
    return round(first * step, digits), round(last * step, digits)


def reading_step(resolution: float | None, units: str) -> float:
    """The step to which a reading is rounded, in mm or inches.

    It is a micrometre or a tenth of a thou, or the gauge's resolution, mm, where that is a whole multiple
    of it.
    """
    finest, unit = (FINEST_IN, INCH) if units == "inch" else (FINEST_MM, 1.0)
    if resolution is None:
        return finest
    count = resolution / unit / finest
    return finest * round(count) if count >= 1.5 and abs(count - round(count)) < 1e-3 else finest


def readable_band(
    low: float, high: float, units: str, resolution: float | None = None
) -> tuple[float, float] | None:
    """Readable limits inside [low, high], mm, in mm or inches; None where no readable size lies inside."""
    unit = INCH if units == "inch" else 1.0
    return rounded_inward(low / unit, high / unit, reading_step(resolution, units))
