"""The inner body: a sleeve, or a bearing or cup pressed straight in; finished before or after that."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import radians, tan
from typing import Literal

import numpy as np

from hoopwright.geometry.land import End, Land, cylinder, opposite
from hoopwright.geometry.thread import Thread

Stop = Literal["left flange", "right flange", "left shoulder", "right shoulder"]
"""What the sleeve is pushed home against: its own flange on a face of the shell, or a shoulder in the bore
at its end. Either carries axial force one way."""
FLANGE: dict[Stop, End] = {"left flange": "left", "right flange": "right"}
SHOULDER: dict[Stop, End] = {"left shoulder": "left", "right shoulder": "right"}
"""The end of the sleeve that a flange or a shoulder is at."""


@dataclass(frozen=True)
class BoreZone:
    """An axial stretch of the sleeve's bore.

    diameter: structural bore, mm. For a threaded zone this is the major diameter of the internal
    thread: the metal between root and minor diameter carries no hoop stress.
    blank: bore that the zone is pressed with, mm, where it is bored or threaded afterwards; else None.
    """

    z_start: float
    z_end: float
    diameter: float
    thread: Thread | None = None
    blank: float | None = None

    @property
    def length(self) -> float:
        return self.z_end - self.z_start

    @property
    def cut_true(self) -> bool:
        """Whether it is cut after pressing, so that what pressing closed it by is gone."""
        return self.blank is not None

    @property
    def clear_diameter(self) -> float:
        """The largest that passes through it, mm: within the crests of a thread."""
        return self.diameter if self.thread is None else self.thread.minor

    @property
    def as_pressed(self) -> BoreZone:
        """The zone as it is when it is pressed in."""
        return self if self.blank is None else BoreZone(self.z_start, self.z_end, self.blank)


@dataclass(frozen=True)
class Facing:
    """What is faced off an end of the sleeve after it is pressed in.

    length: axial, mm. chamfer, chamfer_angle: of that end as it is pressed; 0 and None without one.
    """

    length: float
    chamfer: float = 0.0
    chamfer_angle: float | None = None


@dataclass(frozen=True)
class Sleeve:
    """The sleeve as it goes into use, with the sizes it has unstressed; z in the coordinates of the shell.

    Where something is still cut off it after pressing, `blank` is the sleeve that is pressed.

    outside: lands that cover it in order, without gap or overlap, less its flange where it has one.
    bore: zones that cover z_start to z_end.
    chamfer_left, chamfer_right: axial length of the lead-in chamfers, mm; they shorten the contact.
    chamfer_*_angle: to the axis, degrees, or None where it is not stated.
    stop: what it is pushed home against, None for nothing. flange_diameter, flange_thickness: of a flange,
    at the end of the sleeve that the stop says, mm; 0 without one.
    faced_left, faced_right: what is faced off an end after pressing, None for nothing; the land and zone at
    that end go on into it.
    """

    z_start: float
    z_end: float
    outside: tuple[Land, ...]
    bore: tuple[BoreZone, ...]
    chamfer_left: float = 0.0
    chamfer_right: float = 0.0
    chamfer_left_angle: float | None = None
    chamfer_right_angle: float | None = None
    stop: Stop | None = None
    flange_diameter: float = 0.0
    flange_thickness: float = 0.0
    faced_left: Facing | None = None
    faced_right: Facing | None = None

    @property
    def length(self) -> float:
        return self.z_end - self.z_start

    @cached_property
    def blank(self) -> Sleeve:
        """The sleeve as it is pressed in: itself, where it is finished by then."""
        whole = self.unfaced
        return replace(whole, bore=tuple(zone.as_pressed for zone in whole.bore))

    @property
    def unfaced(self) -> Sleeve:
        """The sleeve with what is faced off its ends after pressing still on it."""
        found, left, right = self, self.faced_left, self.faced_right
        if left is not None:
            start = round(found.z_start - left.length, 9)
            found = replace(
                found,
                z_start=start,
                outside=(found.outside[0].reaching(start, found.outside[0].z_end), *found.outside[1:]),
                bore=(replace(found.bore[0], z_start=start), *found.bore[1:]),
                chamfer_left=left.chamfer,
                chamfer_left_angle=left.chamfer_angle,
                faced_left=None,
            )
        if right is not None:
            end = round(found.z_end + right.length, 9)
            found = replace(
                found,
                z_end=end,
                outside=(*found.outside[:-1], found.outside[-1].reaching(found.outside[-1].z_start, end)),
                bore=(*found.bore[:-1], replace(found.bore[-1], z_end=end)),
                chamfer_right=right.chamfer,
                chamfer_right_angle=right.chamfer_angle,
                faced_right=None,
            )
        return found

    @property
    def finished_later(self) -> bool:
        """Whether metal is cut off it after it is pressed in."""
        return self.blank != self

    def chamfer_depth(self, end: End) -> float | None:
        """Radial depth of the chamfer at an end, mm; None without one, or where its angle is not stated."""
        left = end == "left"
        length, angle = (
            (self.chamfer_left, self.chamfer_left_angle)
            if left
            else (self.chamfer_right, self.chamfer_right_angle)
        )
        return None if angle is None or not length else length * tan(radians(angle))

    def bored_as_turned(self, z: np.ndarray) -> np.ndarray:
        """Where, by z, mm, the bore keeps what it is turned to and closes by pressing: everywhere but where
        it is cut afterwards."""
        cut = [(z >= zone.z_start) & (z <= zone.z_end) for zone in self.bore if zone.cut_true]
        return ~np.any(cut, axis=0) if cut else np.ones(np.shape(z), dtype=bool)

    @property
    def flange_end(self) -> End | None:
        """The end that its flange is at, None without one."""
        return None if self.stop is None else FLANGE.get(self.stop)

    @property
    def shoulder_end(self) -> End | None:
        """The end that rests on a shoulder by what is said of it, None where nothing is."""
        return None if self.stop is None else SHOULDER.get(self.stop)

    @property
    def enters_from(self) -> End | None:
        """The only side of the shell that its stop lets it in from, None where it has none."""
        end = self.shoulder_end
        return self.flange_end if end is None else opposite(end)

    @property
    def neck(self) -> tuple[float, float]:
        """z, mm, of both ends of what is turned to its outside, the flange left off."""
        left = self.flange_thickness if self.flange_end == "left" else 0.0
        right = self.flange_thickness if self.flange_end == "right" else 0.0
        return self.z_start + left, self.z_end - right

    @property
    def rim(self) -> Land | None:
        """The outside of its flange."""
        start, end = self.neck
        if self.flange_end is None:
            return None
        ends = (self.z_start, start) if self.flange_end == "left" else (end, self.z_end)
        return cylinder(*ends, self.flange_diameter)

    @property
    def whole_outside(self) -> tuple[Land, ...]:
        """Its lands and its flange, in order of z."""
        if self.rim is None:
            return self.outside
        return (self.rim, *self.outside) if self.flange_end == "left" else (*self.outside, self.rim)
