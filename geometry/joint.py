"""Shell and sleeve assembled: the outlines to be meshed and the seats where they may touch."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from math import inf

from hoopwright.geometry.land import End, Land, land_at
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Sleeve
from hoopwright.geometry.stations import END_TOLERANCE, distinct

CAPTURE_DISTANCE = 0.15
"""Radial gap, mm, up to which sleeve and bore may touch; a wider one is a relief.

Common practice, no source: a relief is turned several tenths of a mm below size. What can close a gap, the
interference beside it and unequal expansion, comes to some 0.002 of the radius, 0.05 mm on a 50 mm bore and
0.15 mm on one of 150 mm.
"""


class StretchKind(Enum):
    """What a stretch between two neighbouring stations is, by how the bodies face each other there."""

    SEAT = "both bodies, close enough to touch"
    CHAMFER = "both bodies, as close, but under a lead-in chamfer of the sleeve, which touches nothing"
    RELIEF = "both bodies, too far apart to touch"
    OUTLINE = "one of the bodies, alone"


@dataclass(frozen=True)
class Stretch:
    """The joint between two neighbouring stations.

    bore, turned: lands of the shell's bore and of the sleeve's outside, None where that body is not there.
    interference: **diametral**, at the two ends, mm, negative for a gap; without end where a body is alone.
    """

    z_start: float
    z_end: float
    kind: StretchKind
    bore: Land | None
    turned: Land | None
    interference: tuple[float, float] = (-inf, -inf)

    @property
    def surface(self) -> Land | None:
        """The sleeve's outside as it is meshed: on the bore where the bodies may touch, else as turned."""
        may_touch = self.kind in (StretchKind.SEAT, StretchKind.CHAMFER)
        return self.bore if may_touch else self.turned

    @property
    def middle(self) -> float:
        return 0.5 * (self.z_start + self.z_end)

    @property
    def is_seat(self) -> bool:
        return self.kind is StretchKind.SEAT

    def radii(self, land: Land) -> tuple[float, float]:
        """Radius of a land at the two ends, mm."""
        return 0.5 * float(land.diameter_at(self.z_start)), 0.5 * float(land.diameter_at(self.z_end))


@dataclass(frozen=True)
class Segment:
    """An axial stretch of a body of revolution: inner and outer radius at its two ends, mm.

    inner_is_seat, outer_is_seat: the surface is a seat; where a small step to its neighbour is meshed as
    a cone, the cone lies on the neighbour, so that both bodies keep the same radius along the seat.
    """

    z_start: float
    z_end: float
    inner_start: float
    inner_end: float
    outer_start: float
    outer_end: float
    inner_is_seat: bool = False
    outer_is_seat: bool = False

    @property
    def wall(self) -> float:
        """Least wall thickness, mm."""
        return min(self.outer_start - self.inner_start, self.outer_end - self.inner_end)


@dataclass(frozen=True)
class Seat:
    """A stretch where sleeve and bore are close enough to touch.

    interference_start, interference_end: **diametral**, mm, negative for a clearance; linear between.
    bore_land, sleeve_land: indices of the two lands that meet here.
    """

    z_start: float
    z_end: float
    interference_start: float
    interference_end: float
    bore_land: int
    sleeve_land: int

    @property
    def length(self) -> float:
        return self.z_end - self.z_start


@dataclass(frozen=True)
class Joint:
    """Outlines of both bodies, divided at common stations, and the seats between them."""

    shell: tuple[Segment, ...]
    sleeve: tuple[Segment, ...]
    seats: tuple[Seat, ...]

    @property
    def ends(self) -> tuple[float, float]:
        """z, mm, from where to where there is either body."""
        return (
            min(self.shell[0].z_start, self.sleeve[0].z_start),
            max(self.shell[-1].z_end, self.sleeve[-1].z_end),
        )

    @property
    def overlap(self) -> tuple[float, float]:
        """z, mm, from where to where both bodies are: all of the sleeve that does not stand proud."""
        return (
            max(self.shell[0].z_start, self.sleeve[0].z_start),
            min(self.shell[-1].z_end, self.sleeve[-1].z_end),
        )

    @property
    def middle(self) -> float:
        """z, mm, of the middle of the sleeve as far as it lies in the shell."""
        return 0.5 * sum(self.overlap)

    @property
    def thinnest_wall(self) -> float:
        """Of both bodies, mm; contact traction is averaged over this length along the seat."""
        return min(s.wall for s in (*self.shell, *self.sleeve))


def joint(shell: Shell, sleeve: Sleeve) -> Joint:
    """Overlay the lands of both bodies and find their seats.

    Where they may touch, the sleeve's outside is placed on the bore: interference is small against the
    radius, and small-displacement theory uses one radius for both faces. The sleeve may protrude from
    the shell, while it is pressed in or for good; there it keeps its turned radius.
    """
    stretches = [_stretch(a, b, shell, sleeve) for a, b in pairwise(_stations(shell, sleeve))]
    return Joint(
        tuple(_shell_segment(s, s.bore, shell) for s in stretches if s.bore is not None),
        tuple(_sleeve_segment(s, s.surface, sleeve) for s in stretches if s.surface is not None),
        tuple(_seat(s, shell, sleeve) for s in stretches if s.is_seat),
    )


def stands_proud(shell: Shell, sleeve: Sleeve) -> tuple[End, ...]:
    """The ends of the shell beyond which the sleeve reaches."""
    beyond: tuple[tuple[End, float], ...] = (
        ("left", -sleeve.z_start),
        ("right", sleeve.z_end - shell.width),
    )
    return tuple(end for end, length in beyond if length > END_TOLERANCE)


def _stretch(a: float, b: float, shell: Shell, sleeve: Sleeve) -> Stretch:
    """The joint from a to b, mm, and what kind of stretch it is there."""
    middle = 0.5 * (a + b)
    bore = land_at(shell.bore, middle)
    turned = land_at(sleeve.whole_outside, middle) if sleeve.z_start < middle < sleeve.z_end else None
    if bore is None or turned is None:
        return Stretch(a, b, StretchKind.OUTLINE, bore, turned)
    start, end = (float(turned.diameter_at(z) - bore.diameter_at(z)) for z in (a, b))
    if max(start, end) < -2.0 * CAPTURE_DISTANCE:
        kind = StretchKind.RELIEF
    elif _chamfered(sleeve, middle):
        kind = StretchKind.CHAMFER
    else:
        kind = StretchKind.SEAT
    return Stretch(a, b, kind, bore, turned, (start, end))


def _shell_segment(stretch: Stretch, bore: Land, shell: Shell) -> Segment:
    outside = _covering(shell.outside, stretch.middle)
    return Segment(
        stretch.z_start,
        stretch.z_end,
        *stretch.radii(bore),
        *stretch.radii(outside),
        inner_is_seat=stretch.is_seat,
    )


def _sleeve_segment(stretch: Stretch, surface: Land, sleeve: Sleeve) -> Segment:
    zone = next(z for z in sleeve.bore if z.z_start <= stretch.middle <= z.z_end)
    return Segment(
        stretch.z_start,
        stretch.z_end,
        0.5 * zone.diameter,
        0.5 * zone.diameter,
        *stretch.radii(surface),
        outer_is_seat=stretch.is_seat,
    )


def _seat(stretch: Stretch, shell: Shell, sleeve: Sleeve) -> Seat:
    return Seat(
        stretch.z_start,
        stretch.z_end,
        *stretch.interference,
        bore_land=shell.bore.index(stretch.bore),
        sleeve_land=sleeve.outside.index(stretch.turned),
    )


def _chamfered(sleeve: Sleeve, z: float) -> bool:
    return z < sleeve.z_start + sleeve.chamfer_left or z > sleeve.z_end - sleeve.chamfer_right


def _stations(shell: Shell, sleeve: Sleeve) -> list[float]:
    ends = {0.0, shell.width, sleeve.z_start, sleeve.z_end}
    for land in (*shell.bore, *shell.outside, *sleeve.whole_outside):
        ends |= {land.z_start, land.z_end}
    for zone in sleeve.bore:
        ends |= {zone.z_start, zone.z_end}
    if sleeve.chamfer_left:
        ends.add(sleeve.z_start + sleeve.chamfer_left)
    if sleeve.chamfer_right:
        ends.add(sleeve.z_end - sleeve.chamfer_right)
    return distinct(ends)


def _covering(lands: tuple[Land, ...], z: float) -> Land:
    land = land_at(lands, z)
    if land is None:
        raise ValueError(f"no land covers z = {z} mm")
    return land
