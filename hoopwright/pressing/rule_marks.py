"""Forces at the marks of a rule beside the ram: solved there, since no line drawn between other positions
may lie above what the stop line really is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoopwright.pressing.force_travel import (
    ForceTravel,
    by_lame,
    engaged_length,
    forces_while_sliding,
)
from hoopwright.way_in import WayIn

STEP_MM: Mapping[str, float] = {"metric": 5.0, "inch": 0.25 * 25.4}
"""Travel from mark to mark: 5 mm or a quarter of an inch."""
MAX_MARKS = 60
CLOSE = 0.1
"""Share of a step within which home stands for the mark before it."""


@dataclass(frozen=True)
class AtMark:
    """What the press should read at one travel, mm. engaged: mm. least, likely, stop, closed_form: N."""

    travel: float
    engaged: float
    least: float
    likely: float
    stop: float
    closed_form: float


def marks(home: float, system: str) -> list[float]:
    """Even travels, mm, and home, of a metric or an inch rule."""
    step = STEP_MM[system]
    while home / step > MAX_MARKS:
        step *= 2.0
    even = (k * step for k in range(1, math.ceil(home / step)))
    return [*(travel for travel in even if home - travel > CLOSE * step), home]


def at_marks(way_in: WayIn, curve: ForceTravel) -> dict[float, AtMark]:
    """Forces at every mark of both rules, by travel; marks at which nothing touches are left out."""
    travels = {travel for system in STEP_MM for travel in marks(way_in.home, system)}
    found = (_at_mark(way_in, curve, travel) for travel in sorted(travels))
    return {mark.travel: mark for mark in found if mark is not None}


def _at_mark(way_in: WayIn, curve: ForceTravel, travel: float) -> AtMark | None:
    """The forces at a travel on the coarsest mesh, as in the curve; None where no land can touch.

    Yielding leaves the share that it leaves at the positions of the curve on either side.
    """
    if not way_in.engages(travel, curve.shifts[-1]):
        return None
    way_in = WayIn(way_in.case, way_in.resolutions[-1:])  # of its own: the mesh is not asked for again
    elastic = forces_while_sliding(way_in, travel, curve.shifts)
    shares = (np.interp(travel, curve.travel, share) for share in curve.yield_share[:, 1:4].T)
    least, likely, stop = (
        float(force * share * friction)
        for force, share, friction in zip(elastic, shares, curve.frictions, strict=True)
    )
    pair = way_in.pair(travel)
    return AtMark(
        travel,
        engaged_length(way_in.case, pair),
        least,
        likely,
        min(stop, curve.peak[2]),
        curve.frictions[1] * by_lame(way_in.case, pair),
    )
