"""Stress from displacement, body by body: at Gauss points, at nodes, and linearised through the wall.

Stress of nine-node elements is most accurate at their 2 × 2 Gauss points (Barlow 1976, from memory,
not seen); everything here is read there. Nodes are never shared by two bodies, so an average over
the elements round a node never crosses the interface, where hoop stress jumps.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from scipy.sparse import csr_matrix

from fem.element import GAUSS_2X2
from fem.mesh import Body
from fem.stiffness import Model
from fem.strain import StrainOperator, strain_operator

GAUSS = 1.0 / np.sqrt(3.0)
ACROSS = [0, 3, 4]  # rr, rz, rθ: stress on planes that cut the wall lengthwise
NEAR = 0.1
LIKE = 0.25  # walls that differ by less than this share count as one in a mean along z
NODE_AT = np.array(  # place of the nine nodes in their element: half rows outwards, half columns right
    [(0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1), (1, 1)]
)


@dataclass(frozen=True)
class WallLines:
    """Radial lines through the wall of one body, two per mesh column, in order of z.

    z, inner, outer: (lines,), mm. mean, linear: (lines, elements · 4) matrices that turn point stress into
    through-wall mean and into the linear part at the outer surface (at the inner surface it has the
    other sign). at_inner, at_outer: likewise for the whole stress at the two surfaces.
    points: per line, the flat indices of its points from inside out. along_wall, along_near: (lines,
    lines), averages along z over a wall thickness and over NEAR of it. poisson_ratio: of the body.
    """

    z: np.ndarray
    inner: np.ndarray
    outer: np.ndarray
    mean: csr_matrix
    linear: csr_matrix
    at_inner: csr_matrix
    at_outer: csr_matrix
    points: tuple[np.ndarray, ...]
    along_wall: csr_matrix
    along_near: csr_matrix
    poisson_ratio: float

    def membrane(self, stress: np.ndarray) -> np.ndarray:
        """(lines, ..., 6) from point stress (elements · 4, ..., 6), MPa."""
        return self._settled(self.mean, stress)

    def bending(self, stress: np.ndarray) -> np.ndarray:
        """Linear part at the outer surface, shapes as for the membrane."""
        return self._settled(self.linear, stress)

    def _settled(self, through: csr_matrix, stress: np.ndarray) -> np.ndarray:
        """Where contact ends, σ_rr and the shears it comes with are singular, and so is the share ν σ_rr of
        σ_θθ; through the wall alone they settle too slowly for any mesh. They are averaged along z as well,
        over a wall thickness. Hoop strain follows from the displacement, and bending along z from
        equilibrium; these settle over a short stretch, NEAR of the wall."""
        found = (through @ stress.reshape(len(stress), -1)).reshape(-1, 6)
        found[:, 1] -= self.poisson_ratio * found[:, 0]
        flat = found.reshape(len(self.z), -1)
        wide, near = self.along_wall @ flat, self.along_near @ flat
        found = near.reshape(-1, 6)
        found[:, ACROSS] = wide.reshape(-1, 6)[:, ACROSS]
        found[:, 1] += self.poisson_ratio * found[:, 0]
        return found.reshape(len(self.z), *stress.shape[1:])


@dataclass(frozen=True)
class Linearised:
    """Through-wall stress of one body. membrane, inner, outer: (lines, 6), MPa; inner and outer are
    membrane + bending at the two surfaces. surface_inner, surface_outer: (lines, 6), MPa, the whole
    stress there, peak included. z, r_inner, r_outer: (lines,), mm.

    Line integrals of σ dr as in pressure-vessel practice (ASME BPVC VIII-2 Annex 5-A, from memory,
    not seen): no weighting by r.
    """

    z: np.ndarray
    r_inner: np.ndarray
    r_outer: np.ndarray
    membrane: np.ndarray
    inner: np.ndarray
    outer: np.ndarray
    surface_inner: np.ndarray
    surface_outer: np.ndarray


class Recovery:
    """Turns displacements of a model into stress. Holds what depends on the mesh alone."""

    def __init__(self, model: Model) -> None:
        self.model = model

    @cached_property
    def strain(self) -> StrainOperator:
        """Strain operator at the 2 × 2 points, inner left, outer left, inner right, outer right."""
        return strain_operator(self.model.mesh, GAUSS_2X2, like=self.model.strain)

    @cached_property
    def r(self) -> np.ndarray:
        return self.strain.r

    @cached_property
    def z(self) -> np.ndarray:
        return self.strain.z

    def stress(
        self, displacement: np.ndarray, *, n: int = 0, temperature_rise: float | Callable = 0.0
    ) -> np.ndarray:
        """Stress amplitudes at the 2 × 2 points, (elements, 4, 6), MPa.

        displacement: (nodes, 3), mm. n: harmonic. temperature_rise: K, number or function of (r, z);
        only for n = 0.
        """
        strain = self._strain_of(displacement[None], n)[0]
        rise = (temperature_rise(self.r, self.z) if callable(temperature_rise)
                else np.full(self.r.shape, temperature_rise))
        if np.any(rise):
            for name, body in self.model.mesh.bodies.items():
                free = self.model.materials[name].thermal_strain()
                strain[body.elements] -= rise[body.elements][..., None] * free
        return strain @ self.model.elasticity.mT

    def stress_of_columns(self, displacement: np.ndarray, *, n: int) -> np.ndarray:
        """Stress amplitudes of several displacements (columns, nodes, 3) of one harmonic at once,
        (columns, elements, 4, 6), MPa."""
        moved = np.any(displacement, axis=(1, 2))  # a symmetric load leaves one family at rest
        stress = np.zeros((len(displacement), *self.r.shape, 6))
        stress[moved] = self._strain_of(displacement[moved], n) @ self.model.elasticity.mT
        return stress

    def _strain_of(self, displacement: np.ndarray, n: int) -> np.ndarray:
        """(columns, elements, 4, 6) from (columns, nodes, 3)."""
        local = np.moveaxis(displacement.reshape(-1, self.model.size)[:, self.model.dofs], 0, -1)
        B = self.strain.at(n)
        strain = B.reshape(len(B), -1, B.shape[-1]) @ local
        return np.moveaxis(strain, -1, 0).reshape(len(displacement), *B.shape[:3])

    def at_nodes(self, stress: np.ndarray) -> np.ndarray:
        """Point stress (elements, 4, 6) carried to the nodes, (nodes, 6), MPa: cubic through the wall,
        linear along z, then the mean over the mesh columns of that body that share the node."""
        return self._to_nodes @ stress.reshape(-1, 6)

    @cached_property
    def _to_nodes(self) -> csr_matrix:
        mesh = self.model.mesh
        along = 0.5 * np.array([[1 + 1 / GAUSS, 1 - 1 / GAUSS], [1, 1], [1 - 1 / GAUSS, 1 + 1 / GAUSS]])
        blocks = []
        for body in mesh.bodies.values():
            for cells in body.cells:
                metal = cells[cells >= 0]
                rows = np.arange(len(metal))[:, None]
                grid = np.empty((3, 2 * len(metal) + 1), dtype=int)
                for a, (half_row, half_column) in enumerate(NODE_AT):
                    grid[half_column, 2 * rows[:, 0] + half_row] = mesh.connectivity[a, metal]
                points = np.stack([_line(metal, side) for side in (0, 2)])
                through = through_wall(self._heights(points[0]))
                value = np.einsum("cs,np->cnsp", along, through)
                row = np.broadcast_to(grid[:, :, None, None], value.shape)
                blocks.append((value.ravel(), row.ravel(), np.broadcast_to(points, value.shape).ravel()))
        value, row, column = (np.concatenate(part) for part in zip(*blocks, strict=True))
        shape = (mesh.nodes.shape[1], self.r.size)
        total = csr_matrix((value, (row, column)), shape=shape)
        return csr_matrix(total.multiply(1.0 / total.sum(axis=1)))

    def _heights(self, line: np.ndarray) -> np.ndarray:
        """Wall thickness of each row of elements along a line of points, mm."""
        r = self.r.reshape(-1)[line]
        return (r[1::2] - r[::2]) / GAUSS

    @cached_property
    def lines(self) -> Mapping[str, WallLines]:
        """By body, each drawn when it is first asked for."""
        return _Drawn(lambda name: self._wall_lines(self.model.mesh.bodies[name]))

    def linearised(self, stress: np.ndarray, body: str) -> Linearised:
        """Membrane and membrane + bending of one body from point stress (elements, 4, 6)."""
        lines = self.lines[body]
        flat = stress.reshape(-1, 6)
        membrane, bending = lines.membrane(flat), lines.bending(flat)
        return Linearised(lines.z, lines.inner, lines.outer, membrane,
                          membrane - bending, membrane + bending,
                          lines.at_inner @ flat, lines.at_outer @ flat)

    def _wall_lines(self, body: Body) -> WallLines:
        """Two-point Gauss quadrature of σ and σ (r − middle) along the lines."""
        metal = body.cells >= 0
        rows = metal.sum(axis=1)
        ends = np.empty((3, 2 * len(rows)))
        places: list[np.ndarray] = [np.empty(0, dtype=int)] * (2 * len(rows))
        entries = []
        for count in np.unique(rows):  # columns with as many rows at once
            columns = np.flatnonzero(rows == count)
            cells = body.cells[columns][metal[columns]].reshape(-1, 1, count, 1)
            place = (4 * cells + np.array([[[0, 1]], [[2, 3]]])).reshape(-1, 2 * count)
            line = (2 * columns[:, None] + np.arange(2)).ravel()
            r = self.r.reshape(-1)[place]
            height = (r[:, 1::2] - r[:, ::2]) / GAUSS
            low = r[:, :1] - 0.5 * height[:, :1] * (1.0 - GAUSS)
            high = r[:, -1:] + 0.5 * height[:, -1:] * (1.0 - GAUSS)
            mean = 0.5 * np.repeat(height, 2, axis=1) / (high - low)
            linear = mean * (r - 0.5 * (low + high)) * 6.0 / (high - low)
            surface = _at_surfaces(height)
            ends[:, line] = self.z.reshape(-1)[place[:, 0]], low[:, 0], high[:, 0]
            for k, one in zip(line, place, strict=True):
                places[k] = one
            row = np.broadcast_to(line[:, None], place.shape)
            entries.append([x.ravel() for x in (row, place, mean, linear, surface[0], surface[1])])
        row, place, *weights = (np.concatenate(part) for part in zip(*entries, strict=True))
        membrane, bending, at_inner, at_outer = (
            csr_matrix((w, (row, place)), shape=(len(places), self.r.size)) for w in weights)
        z, inner, outer = ends
        length = 0.5 * np.repeat(np.diff(body.lines), 2)
        wall, near = (_along(z, outer - inner, length, share) for share in (1.0, NEAR))
        return WallLines(z, inner, outer, membrane, bending, at_inner, at_outer, tuple(places), wall, near,
                         self.model.materials[body.name].poisson_ratio)


class _Drawn(dict):
    """A dictionary that makes what it lacks."""

    def __init__(self, make: Callable[[str], WallLines]) -> None:
        super().__init__()
        self.make = make

    def __missing__(self, name: str) -> WallLines:
        self[name] = self.make(name)
        return self[name]


def _at_surfaces(heights: np.ndarray) -> np.ndarray:
    """Weights of the points of every line, (lines, rows) thick, at its two ends: (2, lines, 2 rows)."""
    shares = np.round(heights / heights.sum(axis=1, keepdims=True), 12)
    return np.stack([_through_wall(tuple(line))[[0, -1]] for line in shares.tolist()], axis=1)


def _line(metal: np.ndarray, side: int) -> np.ndarray:
    """Flat indices of the points of a mesh column from inside out; side: 0 left pair, 2 right pair."""
    return (4 * metal[:, None] + [side, side + 1]).ravel()


def _along(z: np.ndarray, wall: np.ndarray, length: np.ndarray, over: float) -> csr_matrix:
    """Mean over a stretch of `over` wall thicknesses about every line, of the lines through a like wall,
    (lines, lines).

    wall: (lines,), mm. length: (lines,), of the wall each line stands for, mm. The outermost lines of the
    stretch count with the part of their length that lies in it, so that the mean is continuous along z.
    """
    start = np.concatenate([[0.0], np.cumsum(length)])
    low, high = z[0] + start[:-1], z[0] + start[1:]
    middle = 0.5 * (low + high)
    reach = 0.5 * over * wall[:, None]
    share = np.minimum(high, middle[:, None] + reach) - np.maximum(low, middle[:, None] - reach)
    like = np.abs(wall - wall[:, None]) < LIKE * np.minimum(wall, wall[:, None])
    share = np.where(like, np.maximum(share, 0.0), 0.0)
    return csr_matrix(share / share.sum(axis=1, keepdims=True))


def through_wall(heights: np.ndarray) -> np.ndarray:
    """Weights (2 rows + 1, 2 rows) that carry values at the two Gauss points of each row of elements to
    the row boundaries and middles, by the cubic through the four nearest points.

    heights: (rows,), thickness of each row. With one row, the straight line through its two points.
    """
    return _through_wall(tuple(np.round(heights / np.sum(heights), 12).tolist()))


@lru_cache(maxsize=512)
def _through_wall(shares: tuple[float, ...]) -> np.ndarray:
    """Most columns of a mesh have the same shares of the wall in their rows, and the same weights."""
    heights = np.array(shares)
    bottom = np.concatenate([[0.0], np.cumsum(heights)])
    middle = 0.5 * (bottom[1:] + bottom[:-1])
    points = np.stack([middle - 0.5 * GAUSS * heights, middle + 0.5 * GAUSS * heights], 1).ravel()
    nodes = np.insert(bottom, np.arange(1, len(bottom)), middle)
    weights = np.zeros((len(nodes), len(points)))
    used = min(4, len(points))
    for k, s in enumerate(nodes):
        first = min(max(np.searchsorted(points, s) - used // 2, 0), len(points) - used)
        near = points[first:first + used]
        others = ~np.eye(used, dtype=bool)
        ratio = (s - near[None, :]) / np.where(others, near[:, None] - near[None, :], 1.0)
        weights[k, first:first + used] = np.prod(np.where(others, ratio, 1.0), axis=1)
    weights.setflags(write=False)
    return weights
