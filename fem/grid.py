"""Structured quadrilateral grid of one body: columns along z, rows through the wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoopwright.fem.errors import MeshError
from hoopwright.geometry.joint import Segment
from hoopwright.geometry.stations import END_TOLERANCE

# Radii of one body closer than this fraction of its thinnest wall become one mesh level: the step
# between them is meshed as a short cone over the two elements beside it. Larger steps stay square.
STEP_AS_CONE = 0.12
# Lamé stress varies with 1/r², so no row is thicker than this fraction of its radius. The limit is not
# applied from the axis of a solid body, where the stress is finite.
MAX_ROW_THICKNESS = 0.12


@dataclass(frozen=True)
class RowSizes:
    """Row thickness as a fraction of the thinnest wall.

    at_joint: at the joint; growth: increase per distance from it; largest: upper limit.
    """

    at_joint: float
    growth: float
    largest: float

    @classmethod
    def even(cls, rows: int) -> RowSizes:
        """Equal rows, this many through the thinnest wall."""
        return cls(at_joint=1.0 / rows, growth=0.0, largest=1.0 / rows)


@dataclass(frozen=True)
class Grid:
    """Vertices and cells of one body.

    r, z: (columns + 1, rows + 1), mm; metal: (columns, rows) bool, True where there is material,
    which is one contiguous run of rows in every column.
    """

    name: str
    r: np.ndarray
    z: np.ndarray
    metal: np.ndarray

    @property
    def first_row(self) -> np.ndarray:
        """Innermost row with metal, per column."""
        return np.argmax(self.metal, axis=1)

    @property
    def last_row(self) -> np.ndarray:
        """Outermost row with metal, per column."""
        return self.metal.shape[1] - 1 - np.argmax(self.metal[:, ::-1], axis=1)


def body_grid(
    name: str,
    segments: Sequence[Segment],
    lines: np.ndarray,
    *,
    sizes: RowSizes,
    seat_step: float | None = None,
) -> Grid:
    """Grid a body of revolution from its outline.

    segments: the outline in order of z, joined end to end. lines: mesh lines, mm, including all
    segment ends. sizes: row thickness, refined towards the seats. seat_step: greatest difference in
    radius of two seats that are joined by a cone, mm; the same for both bodies so that their faces
    match, or None to derive it from this body's own wall.
    Raises MeshError for an outline that is empty, has no wall somewhere or a gap.
    """
    check_outline(name, segments)
    levels = _levels(segments, seat_step)
    rows = _rows(segments, levels, sizes)
    start, end = segments[0].z_start - 2.0 * END_TOLERANCE, segments[-1].z_end + 2.0 * END_TOLERANCE
    lines = lines[(lines >= start) & (lines <= end)]
    columns = len(lines) - 1
    middle = 0.5 * (lines[:-1] + lines[1:])
    ends = np.array([s.z_end for s in segments])
    owner = np.searchsorted(ends, middle)

    metal = np.zeros((columns, len(rows) - 1), dtype=bool)
    for k in np.unique(owner):
        inner, outer = (_level_of(levels, x) for x in (segments[k].inner_start, segments[k].outer_start))
        metal[owner == k] = (rows[:-1] >= inner) & (rows[1:] <= outer)
    at_level = _radii(segments, levels, lines, owner)
    below = np.minimum(rows.astype(int), len(levels) - 2)
    r = at_level[:, below] + (rows - below) * (at_level[:, below + 1] - at_level[:, below])
    return Grid(name, r, np.repeat(lines[:, None], len(rows), axis=1), metal)


def _radii(
    segments: Sequence[Segment], levels: list[list[float]], lines: np.ndarray, owner: np.ndarray
) -> np.ndarray:
    """Radius of every level at every mesh line, (lines, levels), mm.

    Where two segments meet it is the mean of both, or that of the seat if one is a seat; where no
    segment reaches, the mean radius of the level.
    """
    total = np.zeros((2, len(lines), len(levels)))
    count = np.zeros_like(total)
    for k in np.unique(owner):
        s, columns = segments[k], np.flatnonzero(owner == k)
        at = slice(columns[0], columns[-1] + 2)
        share = (lines[at] - s.z_start) / (s.z_end - s.z_start)
        for a, b, is_seat in (
            (s.inner_start, s.inner_end, s.inner_is_seat),
            (s.outer_start, s.outer_end, s.outer_is_seat),
        ):
            place = int(is_seat), at, _level_of(levels, a)
            total[place] += a + share * (b - a)
            count[place] += 1
    nominal = np.array([np.mean(level) for level in levels])
    mean = total / np.maximum(count, 1)
    return np.where(count[1] > 0, mean[1], np.where(count[0] > 0, mean[0], nominal))


def check_outline(name: str, segments: Sequence[Segment]) -> None:
    """Raise MeshError unless the segments have length and wall and make one body without a gap."""
    if not segments:
        raise MeshError(f"{name}: the outline has no segment, so there is nothing to mesh")
    for s in segments:
        sizes = s.z_start, s.z_end, s.inner_start, s.inner_end, s.outer_start, s.outer_end
        if not np.isfinite(sizes).all():
            raise MeshError(f"{name}: a size between z = {s.z_start:g} and {s.z_end:g} mm is not finite")
        if s.z_end <= s.z_start:
            raise MeshError(f"{name}: no length from z = {s.z_start:g} to {s.z_end:g} mm")
        if min(s.inner_start, s.inner_end) < 0.0:
            raise MeshError(f"{name}: negative radius between z = {s.z_start:g} and {s.z_end:g} mm")
        if s.wall <= 0.0:
            raise MeshError(f"{name}: no wall between z = {s.z_start:g} and {s.z_end:g} mm")
    for s, t in zip(segments[:-1], segments[1:], strict=True):
        if abs(s.z_end - t.z_start) > 1e-6:
            raise MeshError(f"{name}: the outline has a gap at z = {s.z_end:g} mm")
        touching = min(s.outer_end, t.outer_start) - max(s.inner_end, t.inner_start)
        if touching <= 0.0:
            raise MeshError(f"{name}: the body is not connected at z = {s.z_end:g} mm")


def cone_step(segments: Sequence[Segment]) -> float:
    """Greatest step in radius, mm, that is meshed as a cone in a body of this outline."""
    return STEP_AS_CONE * min(s.wall for s in segments)


def _levels(segments: Sequence[Segment], seat_step: float | None) -> list[list[float]]:
    """Radii of the outline grouped into mesh levels, from the axis outwards."""
    tolerance = cone_step(segments)
    on_seat = tolerance if seat_step is None else min(seat_step, tolerance)
    seats = {
        r
        for s in segments
        for is_seat, *ends in (
            (s.inner_is_seat, s.inner_start, s.inner_end),
            (s.outer_is_seat, s.outer_start, s.outer_end),
        )
        if is_seat
        for r in ends
    }
    radii = sorted({r for s in segments for r in (s.inner_start, s.inner_end, s.outer_start, s.outer_end)})
    levels = [[radii[0]]]
    for radius in radii[1:]:
        both = radius in seats and levels[-1][0] in seats
        if radius - levels[-1][0] <= (on_seat if both else tolerance):
            levels[-1].append(radius)
        else:
            levels.append([radius])
    for s in segments:
        for a, b in ((s.inner_start, s.inner_end), (s.outer_start, s.outer_end)):
            if _level_of(levels, a) != _level_of(levels, b):
                raise MeshError(
                    f"taper from {2 * a:g} to {2 * b:g} mm between z = {s.z_start:g} and "
                    f"{s.z_end:g} mm is too steep to mesh; split it into lands"
                )
    return levels


def _level_of(levels: list[list[float]], radius: float) -> int:
    return next(k for k, level in enumerate(levels) if level[0] <= radius <= level[-1])


def _rows(segments: Sequence[Segment], levels: list[list[float]], sizes: RowSizes) -> np.ndarray:
    """Row boundaries as positions between levels: 0.5 is halfway from level 0 to level 1.

    Between two levels they are spaced at equal increments of ∫ dr / h,
    h(r) = min(largest, MAX_ROW_THICKNESS r, at_joint + growth |r - seat|).
    """
    nominal = np.array([np.mean(level) for level in levels])
    wall = min(s.wall for s in segments)
    seats = {
        nominal[_level_of(levels, r)]
        for s in segments
        for r, is_seat in ((s.inner_start, s.inner_is_seat), (s.outer_start, s.outer_is_seat))
        if is_seat
    }
    bounds = [np.zeros(1)]
    for k, (low, high) in enumerate(zip(nominal[:-1], nominal[1:], strict=True)):
        r = np.linspace(low, high, 401) if low <= 0.0 else np.geomspace(low, high, 401)
        h = np.full_like(r, sizes.largest * wall)
        if low > 0.0:
            h = np.minimum(h, MAX_ROW_THICKNESS * r)
        for seat in seats:
            h = np.minimum(h, sizes.at_joint * wall + sizes.growth * np.abs(r - seat))
        steps = np.diff(r) * 0.5 * (1.0 / h[1:] + 1.0 / h[:-1])
        count = np.concatenate([[0.0], np.cumsum(steps)])
        n = max(1, round(count[-1]))
        share = (np.interp(np.linspace(0.0, count[-1], n + 1), count, r) - low) / max(high - low, 1e-300)
        share[-1] = 1.0
        bounds.append(k + share[1:])
    return np.concatenate(bounds)
