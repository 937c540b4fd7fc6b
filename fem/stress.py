"""Stress recovery, body by body: at Gauss points, at nodes, and linearised through the wall.

Stress of nine-node elements is most accurate at their 2 × 2 Gauss points (Barlow 1976, from memory,
not seen), so it is sampled there. Nodes are never shared by two bodies, so averaging over the elements
at a node never crosses the interface, where hoop stress is discontinuous.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.mesh import Body
from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import StrainOperator

Rise = float | Mapping[str, float] | Callable
"""A temperature rise, K: a number, one for each body, or a function of (r, z)."""

GAUSS = 1.0 / np.sqrt(3.0)
RR, HOOP = 0, 1
ON_CYLINDER = [0, 3, 4]  # rr, rz, rθ: traction on a cylindrical section of the wall
SHORT_LENGTH = 0.1  # of the wall thickness
# Walls whose thicknesses differ by less than this fraction are averaged together along z.
SIMILAR_WALL = 0.25
NODE_AT = np.array(  # position of the nine nodes in their element: half rows outwards, half columns right
    [(0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1), (1, 1)]
)


@dataclass(frozen=True)
class ClassificationLines:
    """Stress classification lines of one body: radial lines through the wall, two per mesh column, by z.

    z, inner, outer: position and radii, (lines,), mm. mean, linear: (lines, elements · 4) matrices that
    turn point stress into the through-wall mean and the linear (bending) part at the outer surface, which
    has the opposite sign at the inner one. at_inner, at_outer: likewise for the total stress at the two
    surfaces. points: per line, the flat indices of its points from the inside outwards. along_wall,
    along_short: (lines, lines), moving averages along z over a wall thickness and over SHORT_LENGTH of it.
    poisson_ratio: of the body.
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
    along_short: csr_matrix
    poisson_ratio: float

    def membrane(self, stress: np.ndarray) -> np.ndarray:
        """Membrane stress (lines, ..., 6) from point stress (elements · 4, ..., 6), MPa."""
        return self._averaged_along(self.mean, stress)

    def bending(self, stress: np.ndarray) -> np.ndarray:
        """Bending stress at the outer surface, shapes as for `membrane`."""
        return self._averaged_along(self.linear, stress)

    def strict(self, stress: np.ndarray, lines: np.ndarray, *, face: int) -> np.ndarray:
        """Membrane + bending at both surfaces of some lines, (2, lines, ..., 6), MPa, not averaged along z.

        lines: their numbers. face: surface on which contact ends, 0 inner, 1 outer. There the linear part
        of the traction on a cylindrical section is that of the singularity itself, and is left out, as
        pressure-vessel practice leaves it out of bending everywhere (ASME BPVC VIII-2 Annex 5-A, from
        memory, not seen).
        """
        mean, linear = (_times(through[lines], stress) for through in (self.mean, self.linear))
        found = np.stack([mean - linear, mean + linear])
        found[face][..., ON_CYLINDER] = mean[..., ON_CYLINDER]
        return found

    def _averaged_along(self, through: csr_matrix, stress: np.ndarray) -> np.ndarray:
        """Through-wall integral, averaged along z so that it converges at the ends of contact.

        Its singular part converges too slowly for any mesh unless it is averaged over a wall thickness; for
        the rest SHORT_LENGTH of the wall is enough.
        """
        integral = _times(through, stress)
        over_wall = _times(self.along_wall, singular_part(integral, self.poisson_ratio))
        return over_wall + _times(self.along_short, regular_part(integral, self.poisson_ratio))


def singular_part(stress: np.ndarray, poisson_ratio: float) -> np.ndarray:
    """The part of a stress (..., 6) whose through-wall integral is singular at the ends of contact.

    Integrals of σ_zz and σ_θz are forces and moments on a section across the axis; equilibrium with the
    loads beyond the section keeps them bounded. Nothing does so for σ_rr, σ_rz and σ_rθ, the traction on a
    cylindrical section, which is singular where contact ends. Hooke's law,

        σ_θθ = E ε_θθ + ν σ_zz + ν σ_rr,

    takes ν σ_rr into the hoop stress; hoop strain is bounded like the displacement it follows.
    """
    project = np.zeros((6, 6))
    project[ON_CYLINDER, ON_CYLINDER] = 1.0
    project[RR, HOOP] = poisson_ratio
    return stress @ project


def regular_part(stress: np.ndarray, poisson_ratio: float) -> np.ndarray:
    """What `singular_part` leaves: σ_zz, σ_θz and σ_θθ − ν σ_rr."""
    return stress - singular_part(stress, poisson_ratio)


@dataclass(frozen=True)
class Linearised:
    """Linearised stress of one body along its stress classification lines.

    z, r_inner, r_outer: (lines,), mm. membrane, inner, outer: (lines, 6), MPa; inner and outer are
    membrane + bending at the two surfaces. surface_inner, surface_outer: (lines, 6), MPa, the total
    stress there, peak included.

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


class StressRecovery:
    """Recovers stress from displacements of one model; whatever depends on the mesh alone is cached."""

    def __init__(self, model: Model) -> None:
        self.model = model

    @cached_property
    def strain(self) -> StrainOperator:
        """Strain operator at the 2 × 2 points, ordered inner left, outer left, inner right, outer right."""
        return StrainOperator(self.model.mesh.gauss_2x2)

    @cached_property
    def r(self) -> np.ndarray:
        return self.strain.r

    @cached_property
    def z(self) -> np.ndarray:
        return self.strain.z

    def stress(self, displacement: np.ndarray, *, n: int = 0, temperature_rise: Rise = 0.0) -> np.ndarray:
        """Stress amplitudes at the 2 × 2 points, (elements, 4, 6), MPa.

        displacement: (nodes, 3), mm. n: harmonic. temperature_rise: K, a number or a function of (r, z),
        for n = 0 only; or by body as it is effective (Elastic.effective).
        """
        strain = self._strain_of(displacement[None], n)[0]
        for name, body in self.model.mesh.bodies.items():
            rise = self._effective(temperature_rise, name)[body.elements]
            if np.any(rise):
                strain[body.elements] -= rise[..., None] * self.model.materials[name].thermal_strain()
        return strain @ self.model.elasticity.mT

    def _effective(self, temperature_rise: Rise, body: str) -> np.ndarray:
        """The rise of a body as it is effective at the 2 × 2 points, (elements, 4), K."""
        if callable(temperature_rise):
            return np.asarray(temperature_rise(self.r, self.z))
        if isinstance(temperature_rise, Mapping):
            return np.full(self.r.shape, temperature_rise[body])
        return np.full(self.r.shape, self.model.materials[body].effective(temperature_rise))

    def stress_of_columns(self, displacement: np.ndarray, *, n: int) -> np.ndarray:
        """Stress amplitudes (columns, elements, 4, 6), MPa, of displacements (columns, nodes, 3), mm."""
        nonzero = np.any(displacement, axis=(1, 2))  # a symmetric load leaves one family zero
        stress = np.zeros((len(displacement), *self.r.shape, 6))
        stress[nonzero] = self._strain_of(displacement[nonzero], n) @ self.model.elasticity.mT
        return stress

    def _strain_of(self, displacement: np.ndarray, n: int) -> np.ndarray:
        """Strain (columns, elements, 4, 6) of displacements (columns, nodes, 3)."""
        local = np.moveaxis(displacement.reshape(-1, self.model.size)[:, self.model.dofs], 0, -1)
        B = self.strain.at(n)
        strain = B.reshape(len(B), -1, B.shape[-1]) @ local
        return np.moveaxis(strain, -1, 0).reshape(len(displacement), *B.shape[:3])

    def at_nodes(self, stress: np.ndarray) -> np.ndarray:
        """Nodal stress (nodes, 6), MPa, from point stress (elements, 4, 6).

        It is extrapolated by cubics through the wall and linearly along z, then averaged over the mesh
        columns of the body that share the node.
        """
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
        """Thickness of each row of elements along a line of points, mm."""
        r = self.r.reshape(-1)[line]
        return (r[1::2] - r[::2]) / GAUSS

    @cached_property
    def lines(self) -> Mapping[str, ClassificationLines]:
        """Classification lines by body name."""
        return {name: self._classification_lines(body) for name, body in self.model.mesh.bodies.items()}

    def linearised(self, stress: np.ndarray, body: str) -> Linearised:
        """Linearised stress of one body from point stress (elements, 4, 6), MPa."""
        lines = self.lines[body]
        flat = stress.reshape(-1, 6)
        membrane, bending = lines.membrane(flat), lines.bending(flat)
        return Linearised(
            lines.z,
            lines.inner,
            lines.outer,
            membrane,
            membrane - bending,
            membrane + bending,
            lines.at_inner @ flat,
            lines.at_outer @ flat,
        )

    def _classification_lines(self, body: Body) -> ClassificationLines:
        """Classification lines of a body: two-point Gauss quadrature of σ and σ (r − middle) per row."""
        metal = body.cells >= 0
        rows = metal.sum(axis=1)
        position = np.empty((3, 2 * len(rows)))
        points: list[np.ndarray] = [np.empty(0, dtype=int)] * (2 * len(rows))
        entries = []
        for count in np.unique(rows):  # columns with as many rows at once
            columns = np.flatnonzero(rows == count)
            cells = body.cells[columns][metal[columns]].reshape(-1, 1, count, 1)
            point = (4 * cells + np.array([[[0, 1]], [[2, 3]]])).reshape(-1, 2 * count)
            line = (2 * columns[:, None] + np.arange(2)).ravel()
            r = self.r.reshape(-1)[point]
            height = (r[:, 1::2] - r[:, ::2]) / GAUSS
            low = r[:, :1] - 0.5 * height[:, :1] * (1.0 - GAUSS)
            high = r[:, -1:] + 0.5 * height[:, -1:] * (1.0 - GAUSS)
            mean = 0.5 * np.repeat(height, 2, axis=1) / (high - low)
            linear = mean * (r - 0.5 * (low + high)) * 6.0 / (high - low)
            surface = _at_surfaces(height)
            position[:, line] = self.z.reshape(-1)[point[:, 0]], low[:, 0], high[:, 0]
            for k, on_line in zip(line, point, strict=True):
                points[k] = on_line
            row = np.broadcast_to(line[:, None], point.shape)
            entries.append([x.ravel() for x in (row, point, mean, linear, surface[0], surface[1])])
        row, point, *weights = (np.concatenate(part) for part in zip(*entries, strict=True))
        shape = len(points), self.r.size
        entry = csr_matrix((np.arange(len(row)), (row, point)), shape=shape)  # none comes twice
        membrane, bending, at_inner, at_outer = (
            csr_matrix((w[entry.data], entry.indices, entry.indptr), shape=shape) for w in weights
        )
        z, inner, outer = position
        length = 0.5 * np.repeat(np.diff(body.lines), 2)
        along_wall, along_short = (
            _axial_mean(z, outer - inner, length, share) for share in (1.0, SHORT_LENGTH)
        )
        return ClassificationLines(
            z,
            inner,
            outer,
            membrane,
            bending,
            at_inner,
            at_outer,
            tuple(points),
            along_wall,
            along_short,
            self.model.materials[body.name].poisson_ratio,
        )


def _times(matrix: csr_matrix, values: np.ndarray) -> np.ndarray:
    """Product of a matrix (rows, columns) with values (columns, ...), (rows, ...)."""
    return (matrix @ values.reshape(len(values), -1)).reshape(matrix.shape[0], *values.shape[1:])


def _at_surfaces(heights: np.ndarray) -> np.ndarray:
    """Extrapolation weights of the points of every line to its two ends, (2, lines, 2 rows).

    heights: thickness of each row, (lines, rows), mm.
    """
    shares = np.round(heights / heights.sum(axis=1, keepdims=True), 12)
    lines = [tuple(line) for line in shares.tolist()]
    ends = {line: _through_wall(line)[[0, -1]] for line in set(lines)}
    return np.stack([ends[line] for line in lines], axis=1)


def _line(metal: np.ndarray, side: int) -> np.ndarray:
    """Flat indices of the points of a mesh column, inside to outside; side: 0 left pair, 2 right pair."""
    return (4 * metal[:, None] + [side, side + 1]).ravel()


def _axial_mean(z: np.ndarray, wall: np.ndarray, length: np.ndarray, over: float) -> csr_matrix:
    """Moving-average matrix (lines, lines) over a length of `over` wall thicknesses, centred on each line.

    Only lines through walls of similar thickness are averaged. wall: thickness, (lines,), mm. length:
    axial length that each line represents, (lines,), mm. The outermost lines are weighted by the part of
    their length inside the window, so that the mean is continuous along z.
    """
    start = np.concatenate([[0.0], np.cumsum(length)])
    low, high = z[0] + start[:-1], z[0] + start[1:]
    middle = 0.5 * (low + high)
    reach = 0.5 * over * wall[:, None]
    share = np.minimum(high, middle[:, None] + reach) - np.maximum(low, middle[:, None] - reach)
    similar = np.abs(wall - wall[:, None]) < SIMILAR_WALL * np.minimum(wall, wall[:, None])
    share = np.where(similar, np.maximum(share, 0.0), 0.0)
    return csr_matrix(share / share.sum(axis=1, keepdims=True))


def through_wall(heights: np.ndarray) -> np.ndarray:
    """Weights (2 rows + 1, 2 rows) that extrapolate Gauss-point values to row boundaries and middles.

    Each row of elements has two points; the cubic through the four nearest is used, or with a single row
    the straight line through its two points. heights: thickness of each row, (rows,).
    """
    return _through_wall(tuple(np.round(heights / np.sum(heights), 12).tolist()))


@lru_cache(maxsize=512)
def _through_wall(shares: tuple[float, ...]) -> np.ndarray:
    """Cached by relative row thickness, which most columns of a mesh have in common."""
    heights = np.array(shares)
    bottom = np.concatenate([[0.0], np.cumsum(heights)])
    middle = 0.5 * (bottom[1:] + bottom[:-1])
    points = np.stack([middle - 0.5 * GAUSS * heights, middle + 0.5 * GAUSS * heights], 1).ravel()
    nodes = np.insert(bottom, np.arange(1, len(bottom)), middle)
    weights = np.zeros((len(nodes), len(points)))
    used = min(4, len(points))
    for k, s in enumerate(nodes):
        first = min(max(np.searchsorted(points, s) - used // 2, 0), len(points) - used)
        near = points[first : first + used]
        others = ~np.eye(used, dtype=bool)
        ratio = (s - near[None, :]) / np.where(others, near[:, None] - near[None, :], 1.0)
        weights[k, first : first + used] = np.prod(np.where(others, ratio, 1.0), axis=1)
    weights.setflags(write=False)
    return weights
