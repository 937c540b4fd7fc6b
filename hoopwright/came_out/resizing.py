"""From what a land is to what it should be, by taking metal off: never by putting any on.

Lands are cut alike: a step in the interference, of a micrometre even, lets the pressure drop beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from hoopwright.came_out.suited import Suited, read_land
from hoopwright.case.model import Case
from hoopwright.sizing.band import Band
from hoopwright.sizing.rounding import INCH, reading_step, rounded_alike

Fate = Literal["fits", "cut", "no metal", "no size"]
NEAR = 0.5
"""Share of half a band within which of its middle a land is left as it is."""


@dataclass(frozen=True)
class LandFate:
    """What becomes of one land that exists.

    fate: it "fits" as it is, can be "cut" to size, has "no metal" left there, or no size of the band can be
    read ("no size"). off: how far it lies outside the band, mm on diameter: positive where metal is to
    come off, negative where there is too little. aim: what to cut it to, in mm or inches, None where it is
    not cut. take: metal to take off on diameter down or up to the aim, mm.
    """

    band: Band
    fate: Fate
    off: float = 0.0
    aim: float | None = None
    take: float = 0.0


def middles_of(bands: Sequence[Band]) -> tuple[float, ...]:
    """The middle of every band to a step of the gauge, in mm or inches; a part cut anew is judged by it: it
    may come out anywhere in its band, whatever was aimed at. All must have a readable size."""
    found = _alike([0.5 * (b.low + b.high) for b in bands], [(b.low, b.high) for b in bands], bands)
    assert found is not None
    return found


def fates(case: Case, found: Suited) -> tuple[LandFate, ...]:
    """What becomes of every land of a part that exists, if it is cut further to suit the other."""
    if not found.bands:
        return ()
    sign = 1.0 if found.cut == "sleeve" else -1.0  # of a change that a cut undoes
    lands = [_there(case, found.cut, band, sign) for band in found.bands]
    lacking = [_lacking(band, sign, *there) for band, there in zip(found.bands, lands, strict=True)]
    if any(fate is not None for fate in lacking):
        return tuple(
            fate or LandFate(band, "fits", _off(band, sign, there[0]))
            for fate, band, there in zip(lacking, found.bands, lands, strict=True)
        )
    middles = [0.5 * (b.low + b.high) for b in found.bands]
    # all as far from the middle as the one with the least metal, which is not cut unless it is far off
    least = min(sign * (clean - m) for (_, clean), m in zip(lands, middles, strict=True))
    near = NEAR * min(0.5 * (b.high - b.low) for b in found.bands)
    change = least if least <= near else 0.0
    reach = [
        (b.low, min(b.high, clean)) if sign > 0.0 else (max(b.low, clean), b.high)
        for b, (_, clean) in zip(found.bands, lands, strict=True)
    ]
    aims = _alike([m + sign * change for m in middles], reach, found.bands)
    if aims is None:
        return tuple(
            LandFate(band, "no size", _off(band, sign, d))
            for band, (d, _) in zip(found.bands, lands, strict=True)
        )
    return tuple(
        _cut(band, sign, d, aim) for band, (d, _), aim in zip(found.bands, lands, aims, strict=True)
    )


def _there(case: Case, part: str, band: Band, sign: float) -> tuple[float, float]:
    """Diameter of a land, and the one that a cut must reach to leave it true, mm: the smallest place of a
    sleeve, the largest of a bore."""
    land, oval = read_land(case, part, band.index)
    clean = land.least_diameter if sign > 0.0 else land.greatest_diameter
    return land.mean_diameter, clean - sign * 0.5 * oval


def _off(band: Band, sign: float, diameter: float) -> float:
    """How far a diameter lies outside a band: positive where metal is to come off."""
    above, below = max(diameter - band.high, 0.0), max(band.low - diameter, 0.0)
    return sign * (above - below)


def _lacking(band: Band, sign: float, diameter: float, clean: float) -> LandFate | None:
    """That a land has too little metal; None where it has enough."""
    off = _off(band, sign, diameter)
    last = band.low if sign > 0.0 else band.high
    return LandFate(band, "no metal", off) if off < 0.0 or sign * (clean - last) < 0.0 else None


def _cut(band: Band, sign: float, diameter: float, aim: float) -> LandFate:
    unit, off = _unit(band), _off(band, sign, diameter)
    take = sign * (diameter - aim * unit)
    if not off and take < 0.5 * reading_step(band.resolution, band.units) * unit:
        return LandFate(band, "fits")
    return LandFate(band, "cut", off, aim, take)


def _unit(band: Band) -> float:
    return INCH if band.units == "inch" else 1.0


def _alike(
    targets: Sequence[float], reach: Sequence[tuple[float, float]], bands: Sequence[Band]
) -> tuple[float, ...] | None:
    """Sizes that the gauge can show, in mm or inches, near the targets, mm, and alike off them."""
    return rounded_alike(targets, reach, _unit(bands[0]), reading_step(bands[0].resolution, bands[0].units))
