"""Von Mises stress over the section of both bodies, as the rows judge it at bore and outside.

Between the surfaces every component runs along a straight line: so the stress is nowhere greater than at
one of them, and the map never shows more than its row judges. Local stress inside, at a sharp end of the
contact, is not in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from hoopwright.discretisation import BODIES
from hoopwright.maps.moments import Moment, surfaces_at, von_mises_through

LEVELS = np.linspace(0.0, 1.0, 5)
"""Of the map through the wall: 0 at the bore, 1 at the outside."""
MAX_LINES = 56
"""Lines along z, of those of the mesh."""


@dataclass(frozen=True)
class SectionGrid:
    """Where the stress of a body is given: lines of the mesh along z, and LEVELS through its wall.

    lines: of the mesh, by number. z, bore, outside: of the lines, mm.
    """

    body: str
    lines: np.ndarray
    z: np.ndarray
    bore: np.ndarray
    outside: np.ndarray


def section_grids(moments: Sequence[Moment]) -> tuple[SectionGrid, ...]:
    """The grid of each body; every place where a moment is nearest its limit is on it."""
    return tuple(_grid(moments, body) for body in BODIES)


def _grid(moments: Sequence[Moment], body: str) -> SectionGrid:
    wall = moments[0].fit.walls[body]
    peaks = (m.nearest[body].z for m in moments if body in m.nearest)
    lines = thinned(len(wall.z), MAX_LINES, (int(np.argmin(np.abs(wall.z - z))) for z in peaks))
    return SectionGrid(body, lines, wall.z[lines], wall.r_inner[lines], wall.r_outer[lines])


def thinned(count: int, limit: int, wanted: Iterable[int]) -> np.ndarray:
    """Up to `limit` numbers, about even, of `count` in order, with the first, the last and the wanted."""
    ends = {0, count - 1, *wanted}
    even = np.linspace(0, count - 1, min(count, max(limit - len(ends), 2))).round().astype(int)
    return np.array(sorted(ends | set(even.tolist())))


def section_stress(moment: Moment, grid: SectionGrid) -> np.ndarray:
    """Von Mises stress in the section of a moment on a grid, (levels, lines), MPa."""
    surfaces = surfaces_at(moment, grid.body, moment.theta)[:, grid.lines]
    return von_mises_through(surfaces, LEVELS)


def section_limit(moment: Moment, grid: SectionGrid) -> np.ndarray:
    """What the stress may be at most on every line of a grid, (lines,), MPa; not a number beside an edge of
    a clamp, where nothing under loads is judged."""
    limit = moment.limit(grid.body, grid.z)
    if moment.service is None or not moment.load_case:
        return limit
    return np.where(moment.service.edges.beside(grid.z), np.nan, limit)
