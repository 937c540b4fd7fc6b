"""Screw threads by dimension: 60° profiles, internal thread seen from the sleeve."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Thread:
    """A 60° internal thread.

    designation: as stamped or written on a drawing.
    major: major diameter, mm (the root of an internal thread, the structural bore).
    pitch: mm.
    minor: minor diameter of the internal thread, mm.
    left_hand: True for a left-hand thread.
    source: where the sizes come from.
    """

    designation: str
    major: float
    pitch: float
    minor: float
    left_hand: bool = False
    source: str = "user"
