"""Limits as a micrometer shows them: whole micrometres or tenths of a thou, rounded inwards."""

from __future__ import annotations

from math import ceil, floor, log10

FINEST_MM = 0.001
FINEST_IN = 0.0001
INCH = 25.4
_SLACK = 1e-6
"""Of a step: what rounding in the last bits may take from a limit that lies on a step."""


def inward(low: float, high: float, step: float) -> tuple[float, float] | None:
    """The least and the greatest whole step inside [low, high], all in one unit; None without any.

    >>> inward(41.04012, 41.05991, 0.001)
    (41.041, 41.059)
    """
    first, last = ceil(low / step - _SLACK), floor(high / step + _SLACK)
    if first > last:
        return None
    digits = max(0, round(-log10(step)) + 1)
    return round(first * step, digits), round(last * step, digits)


def step_of(resolution: float | None, units: str) -> float:
    """What a reading is rounded to: a micrometre or a tenth of a thou, or the gauge's own step where
    that is coarser and a whole number of those. resolution: mm; returns mm or inches."""
    finest, size = (FINEST_IN, INCH) if units == "inch" else (FINEST_MM, 1.0)
    if resolution is None:
        return finest
    count = resolution / size / finest
    return finest * round(count) if count >= 1.5 and abs(count - round(count)) < 1e-3 else finest


def band(
    low: float, high: float, units: str, resolution: float | None = None
) -> tuple[float, float] | None:
    """mm in; readable limits inside, in mm or inches; None where no readable size lies inside."""
    size = INCH if units == "inch" else 1.0
    return inward(low / size, high / size, step_of(resolution, units))
