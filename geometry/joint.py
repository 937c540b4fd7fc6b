"""Shell and sleeve assembled: the outlines to be meshed and the seats where they may touch."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.geometry.land import Land, land_at
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Sleeve
from hoopwright.geometry.stations import distinct

# A sleeve surface within this radial distance of the bore, mm, may come into contact and is placed on it;
# farther away it is a relief and keeps its own radius.
CAPTURE_DISTANCE = 0.15


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


def joint(shell: Shell, sleeve: Sleeve) -> Joint:
    """Overlay the lands of both bodies and find their seats.

    Where they may touch, the sleeve's outside is placed on the bore: interference is small against the
    radius, and small-displacement theory uses one radius for both faces. The sleeve may protrude from
    the shell, as it does while it is pressed in; there it keeps its turned radius.
    """
    stations = _stations(shell, sleeve)
    shell_segments, sleeve_segments, seats = [], [], []
    for a, b in zip(stations[:-1], stations[1:], strict=True):
        middle = 0.5 * (a + b)
        bore = land_at(shell.bore, middle)
        turned = land_at(sleeve.outside, middle) if sleeve.z_start < middle < sleeve.z_end else None
        seat = _seat(a, b, bore, turned, shell, sleeve) if turned and bore else None
        seated = seat is not None and not _chamfered(sleeve, middle)
        if bore is not None:
            shell_segments.append(_segment(a, b, bore, _covering(shell.outside, middle), seated))
        if turned is not None:
            surface = bore if seat is not None and bore is not None else turned
            sleeve_segments.append(_sleeve_segment(a, b, sleeve, surface, seated))
        if seat is not None and seated:
            seats.append(seat)
    return Joint(tuple(shell_segments), tuple(sleeve_segments), tuple(seats))


def _sleeve_segment(a: float, b: float, sleeve: Sleeve, surface: Land, seated: bool) -> Segment:
    middle = 0.5 * (a + b)
    zone = next(z for z in sleeve.bore if z.z_start <= middle <= z.z_end)
    radius = 0.5 * zone.diameter
    outer = 0.5 * float(surface.diameter_at(a)), 0.5 * float(surface.diameter_at(b))
    return Segment(a, b, radius, radius, *outer, outer_is_seat=seated)


def _chamfered(sleeve: Sleeve, z: float) -> bool:
    return z < sleeve.z_start + sleeve.chamfer_left or z > sleeve.z_end - sleeve.chamfer_right


def _stations(shell: Shell, sleeve: Sleeve) -> list[float]:
    ends = {0.0, shell.width, sleeve.z_start, sleeve.z_end}
    for land in (*shell.bore, *shell.outside, *sleeve.outside):
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


def _segment(a: float, b: float, bore: Land, outside: Land, seated: bool) -> Segment:
    inner, outer = (
        (0.5 * float(land.diameter_at(a)), 0.5 * float(land.diameter_at(b))) for land in (bore, outside)
    )
    return Segment(a, b, *inner, *outer, inner_is_seat=seated)


def _seat(a: float, b: float, bore: Land, turned: Land, shell: Shell, sleeve: Sleeve) -> Seat | None:
    start = float(turned.diameter_at(a) - bore.diameter_at(a))
    end = float(turned.diameter_at(b) - bore.diameter_at(b))
    if max(start, end) < -2.0 * CAPTURE_DISTANCE:
        return None
    return Seat(a, b, start, end, shell.bore.index(bore), sleeve.outside.index(turned))
