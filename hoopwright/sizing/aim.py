"""The one size in a band to aim for, and the chance of ending inside by the scatter of cutting.

What is cut comes out about what was aimed at, with a standard deviation that is the shop's own. The aim is
the middle of the band, as long as two of these lie below it and above. In a narrower band it is two of
them from the limit beyond which no metal is left, but not outside: a sleeve that comes out too large and
a bore that comes out too small are cut again, the other way round they are scrap.

With p the chance of coming out inside and q that of coming out beyond the limit without metal, one that is
cut again, to the same aim and with the same scatter, as often as it has metal to spare ends inside with a
chance of p / (p + q).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scipy import special

from hoopwright.sizing.band import Band
from hoopwright.sizing.rounding import INCH, reading_step, rounded_alike

CLEARANCE = 2.0
"""Scatters that the aim keeps from the limit without metal: 97.7 % come out on the right side of it."""


def with_aims(bands: Sequence[Band], cut: str, scatter: float) -> tuple[Band, ...]:
    """The bands of the lands of a part with the size to aim for in each, and the chance of ending inside.

    cut: the part, "sleeve" or "shell". scatter: standard deviation of what is cut, mm. The lands are
    rounded alike: a step in the interference, of a micrometre even, lets the pressure drop beside it.
    """
    targets = [_target(b.low, b.high, cut, scatter) for b in bands]
    at_20 = _rounded(bands, targets, [(b.low, b.high) for b in bands])
    shown = [_as_shown(b, t) for b, t in zip(bands, targets, strict=True)]
    in_shop = _rounded(bands, shown, [(b.shop_low, b.shop_high) for b in bands])
    if at_20 is None or in_shop is None:
        return tuple(bands)
    return tuple(
        _with_aim(band, cut, scatter, aim, shop)
        for band, aim, shop in zip(bands, at_20, in_shop, strict=True)
    )


def is_off_centre(width: float, scatter: float) -> bool:
    """Whether the aim in a band of a width lies off its middle, mm."""
    return 0.5 * width < CLEARANCE * scatter


def chances(low: float, high: float, aim: float, cut: str, scatter: float) -> tuple[float, float]:
    """Chance of coming out between low and high at the first cut, and of ending there.

    >>> [round(p, 3) for p in chances(-2.0, 2.0, 0.0, "sleeve", 1.0)]
    [0.954, 0.977]
    """
    if scatter <= 0.0:
        inside = float(low <= aim <= high)
        return inside, inside
    below, above = special.ndtr((low - aim) / scatter), special.ndtr((aim - high) / scatter)
    inside = float(max(1.0 - below - above, 0.0))
    lost = float(below if cut == "sleeve" else above)
    return inside, inside / (inside + lost) if inside > 0.0 else 0.0


def _target(low: float, high: float, cut: str, scatter: float) -> float:
    middle = 0.5 * (low + high)
    if cut == "sleeve":
        return min(max(middle, low + CLEARANCE * scatter), high)
    return max(min(middle, high - CLEARANCE * scatter), low)


def _as_shown(band: Band, diameter: float) -> float:
    return diameter * band.shop_low / band.low


def _rounded(
    bands: Sequence[Band], targets: Sequence[float], reach: Sequence[tuple[float, float]]
) -> tuple[float, ...] | None:
    """The targets on steps of the micrometer, mm."""
    if not bands:
        return ()
    unit = INCH if bands[0].units == "inch" else 1.0
    found = rounded_alike(targets, reach, unit, reading_step(bands[0].resolution, bands[0].units))
    return None if found is None else tuple(size * unit for size in found)


def _with_aim(band: Band, cut: str, scatter: float, aim: float, shop: float) -> Band:
    """The band with its aim; the ends of a tapered land differ from it as they differ from its middle."""
    first, ending = chances(band.shop_low, band.shop_high, shop, cut, scatter)
    ends = []
    for end in band.ends:
        off, shop_off = end.low - band.low, end.shop_low - band.shop_low
        sizes = (
            _rounded([band], [aim + off], [(end.low, end.high)]),
            _rounded([band], [shop + shop_off], [(end.shop_low, end.shop_high)]),
        )
        at_20, shown = (None if found is None else found[0] for found in sizes)
        ends.append(replace(end, aim=at_20, shop_aim=shown))
    return replace(band, aim=aim, shop_aim=shop, chance=ending, first_chance=first, ends=tuple(ends))
