"""One body on a structured grid of quadrilaterals: columns along z, rows through the wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fem.errors import MeshError
from geometry.joint import Segment

# Radii of one body closer than this share of its thinnest wall become one mesh level: the step
# between them is drawn as a short cone over the two elements beside it. Larger steps stay square.
STEP_AS_CONE = 0.12
# Rows grow outwards in one ratio, since Lamé stress falls with 1/r², and by no more than this.
STEEPEST_ROW = 1.12


@dataclass(frozen=True)
class Grid:
    """Vertices and cells of one body.

    r, z: (columns + 1, rows + 1), mm; metal: (columns, rows), True where there is material.
    In every column the metal is one unbroken run of rows.
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
    name: str, segments: Sequence[Segment], lines: np.ndarray, *, elements_through_wall: int
) -> Grid:
    """Draw a body of revolution from its outline.

    segments: the outline in order of z, touching end to end. lines: mesh lines, mm, containing all
    segment ends. The thinnest wall gets elements_through_wall rows, thicker parts more.
    Raises MeshError where there is no wall or a break in the outline.
    """
    _sound(name, segments)
    levels = _levels(segments)
    rows = _rows(segments, levels, elements_through_wall)
    lines = lines[(lines >= segments[0].z_start - 1e-9) & (lines <= segments[-1].z_end + 1e-9)]
    columns = len(lines) - 1
    middle = 0.5 * (lines[:-1] + lines[1:])
    ends = np.array([s.z_end for s in segments])
    owner = np.searchsorted(ends, middle)

    metal = np.zeros((columns, len(rows) - 1), dtype=bool)
    for j, k in enumerate(owner):
        inner, outer = (_level_of(levels, x) for x in (segments[k].inner_start, segments[k].outer_start))
        metal[j] = (rows[:-1] >= inner) & (rows[1:] <= outer)
    at_level = _radii(segments, levels, lines, owner)
    r = np.array([np.interp(rows, np.arange(len(levels)), radii) for radii in at_level])
    return Grid(name, r, np.repeat(lines[:, None], len(rows), axis=1), metal)


def _radii(
    segments: Sequence[Segment], levels: list[list[float]], lines: np.ndarray, owner: np.ndarray
) -> np.ndarray:
    """Radius of every level at every mesh line, (lines, levels), mm: where two segments meet, the mean
    of theirs, or that of the one which rules; where none reaches, the mean of the level."""
    total = np.zeros((2, len(lines), len(levels)))
    count = np.zeros_like(total)
    for j, k in enumerate(owner):
        s = segments[k]
        share = (lines[j:j + 2] - s.z_start) / (s.z_end - s.z_start)
        for a, b, rules in ((s.inner_start, s.inner_end, s.inner_rules),
                            (s.outer_start, s.outer_end, s.outer_rules)):
            place = int(rules), slice(j, j + 2), _level_of(levels, a)
            total[place] += a + share * (b - a)
            count[place] += 1
    nominal = np.array([np.mean(level) for level in levels])
    mean = total / np.maximum(count, 1)
    return np.where(count[1] > 0, mean[1], np.where(count[0] > 0, mean[0], nominal))


def _sound(name: str, segments: Sequence[Segment]) -> None:
    for s in segments:
        if s.wall <= 0.0:
            raise MeshError(f"{name}: no wall between z = {s.z_start:g} and {s.z_end:g} mm")
    for s, t in zip(segments[:-1], segments[1:], strict=True):
        if abs(s.z_end - t.z_start) > 1e-6:
            raise MeshError(f"{name}: outline is broken at z = {s.z_end:g} mm")
        touching = min(s.outer_end, t.outer_start) - max(s.inner_end, t.inner_start)
        if touching <= 0.0:
            raise MeshError(f"{name}: the body falls apart at z = {s.z_end:g} mm")


def _levels(segments: Sequence[Segment]) -> list[list[float]]:
    """Radii of the outline gathered into mesh levels, from the axis outwards."""
    tolerance = STEP_AS_CONE * min(s.wall for s in segments)
    radii = sorted({r for s in segments
                    for r in (s.inner_start, s.inner_end, s.outer_start, s.outer_end)})
    levels = [[radii[0]]]
    for radius in radii[1:]:
        if radius - levels[-1][0] <= tolerance:
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


def _rows(
    segments: Sequence[Segment], levels: list[list[float]], elements_through_wall: int
) -> np.ndarray:
    """Row boundaries as positions between levels: 0.5 is halfway from level 0 to level 1."""
    nominal = np.array([np.mean(level) for level in levels])
    size = min(s.wall for s in segments) / elements_through_wall
    bounds = [np.zeros(1)]
    for k, (low, high) in enumerate(zip(nominal[:-1], nominal[1:], strict=True)):
        ratio = high / low if low > 0.0 else 1.0
        n = max(1, round((high - low) / size), int(np.ceil(np.log(ratio) / np.log(STEEPEST_ROW))))
        share = np.arange(1, n + 1) / n
        bounds.append(k + (share if ratio < 1.0 + 1e-9 else (ratio**share - 1.0) / (ratio - 1.0)))
    return np.concatenate(bounds)
