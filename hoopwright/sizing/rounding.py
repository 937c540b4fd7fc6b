"""Limits rounded inwards to what a micrometer shows: whole micrometres or tenths of a thou."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, log10

FINEST_MM = 0.001
FINEST_IN = 0.0001
INCH = 25.4
PARTS_OF_A_STEP = 20
"""Places within a step of the gauge at which several sizes are tried to be rounded alike."""
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


def rounded_alike(
    targets: Sequence[float], reach: Sequence[tuple[float, float]], unit: float, step: float
) -> tuple[float, ...] | None:
    """Sizes on steps of the gauge, in mm or inches, as alike as it allows in how far they lie from their
    targets, mm, and then as near. reach: limits of each, mm. unit: mm in one of the unit of step. None
    where one has no readable size."""
    limits = [rounded_inward(a / unit, b / unit, step) if a <= b else None for a, b in reach]
    readable = [pair for pair in limits if pair is not None]
    if len(readable) < len(limits):
        return None
    choices = []
    for k in range(-PARTS_OF_A_STEP // 2, PARTS_OF_A_STEP // 2 + 1):
        sizes = [
            min(max(step * round((t / unit + k * step / PARTS_OF_A_STEP) / step), low), high)
            for t, (low, high) in zip(targets, readable, strict=True)
        ]
        off = [size - t / unit for size, t in zip(sizes, targets, strict=True)]
        spread, away = max(off) - min(off), max(abs(o) for o in off)
        choices.append((round(spread / step, 6), round(away / step, 6), sizes))
    return tuple(round(size, 9) for size in min(choices)[2])
