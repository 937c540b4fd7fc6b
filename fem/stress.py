"""Stress from displacement, body by body: at Gauss points, at nodes, and linearised through the wall.

Stress of nine-node elements is most accurate at their 2 × 2 Gauss points (Barlow 1976, from memory,
not seen); everything here is read there. Nodes are never shared by two bodies, so an average over
the elements round a node never crosses the interface, where hoop stress jumps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix
from skfem import Basis, ElementQuad2

from fem.mesh import Body
from fem.stiffness import Model
from fem.strain import StrainOperator, strain_operator

GAUSS = 1.0 / np.sqrt(3.0)
NODE_AT = np.array(  # (ξ, η) of the nine nodes in [−1, 1]²; ξ runs outwards, η to the right
    [(-1, -1), (1, -1), (1, 1), (-1, 1), (0, -1), (1, 0), (0, 1), (-1, 0), (0, 0)], dtype=float
)


@dataclass(frozen=True)
class WallLines:
    """Radial lines through the wall of one body, two per mesh column, in order of z.

    z, inner, outer: (lines,), mm. membrane, bending: (lines, elements · 4) matrices that turn point
    stress into through-wall mean and into the linear part at the outer surface (at the inner surface
    it has the other sign). points: per line, the flat indices of its points from inside out.
    """

    z: np.ndarray
    inner: np.ndarray
    outer: np.ndarray
    membrane: csr_matrix
    bending: csr_matrix
    points: tuple[np.ndarray, ...]


@dataclass(frozen=True)
class Linearised:
    """Through-wall stress of one body. membrane, inner, outer: (lines, 6), MPa; inner and outer are
    membrane + bending at the two surfaces. z, r_inner, r_outer: (lines,), mm.

    Line integrals of σ dr as in pressure-vessel practice (ASME BPVC VIII-2 Annex 5-A, from memory,
    not seen): no weighting by r.
    """

    z: np.ndarray
    r_inner: np.ndarray
    r_outer: np.ndarray
    membrane: np.ndarray
    inner: np.ndarray
    outer: np.ndarray


class Recovery:
    """Turns displacements of a model into stress. Holds what depends on the mesh alone."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self._basis = Basis(model.mesh.quads, ElementQuad2(), intorder=3)
        reference = 2.0 * np.asarray(self._basis.quadrature[0]) - 1.0
        # position of the four points in the order (ξ−, η−), (ξ+, η−), (ξ−, η+), (ξ+, η+)
        self._order = np.lexsort((reference[0], reference[1]))

    @cached_property
    def strain(self) -> StrainOperator:
        """Strain operator at the 2 × 2 points, inner left, outer left, inner right, outer right."""
        s, k = strain_operator(self.model.mesh, self._basis), self._order
        return StrainOperator(s.constant[:, k], s.per_n[:, k], s.r[:, k], s.z[:, k],
                              s.weight[:, k])

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
        local = displacement.reshape(-1)[self.model.dofs]
        strain = np.einsum("epik,ek->epi", self.strain.at(n), local, optimize=True)
        rise = (temperature_rise(self.r, self.z) if callable(temperature_rise)
                else np.full(self.r.shape, temperature_rise))
        if np.any(rise):
            for name, body in self.model.mesh.bodies.items():
                free = self.model.materials[name].thermal_strain()
                strain[body.elements] -= rise[body.elements][..., None] * free
        return strain @ self.model.elasticity.mT

    def at_nodes(self, stress: np.ndarray) -> np.ndarray:
        """Point stress (elements, 4, 6) carried to the nodes, (nodes, 6), MPa: bilinear from the
        four points of each element, then the mean over the elements of that body round the node."""
        xi, eta = NODE_AT.T / GAUSS
        spread = 0.25 * np.stack([(1 - xi) * (1 - eta), (1 + xi) * (1 - eta),
                                  (1 - xi) * (1 + eta), (1 + xi) * (1 + eta)], axis=1)
        local = np.einsum("ap,epi->eai", spread, stress)
        connectivity = self.model.mesh.connectivity.T
        total = np.zeros((self.model.mesh.nodes.shape[1], 6))
        np.add.at(total, connectivity, local)
        return total / np.bincount(connectivity.ravel())[:, None]

    @cached_property
    def lines(self) -> dict[str, WallLines]:
        return {name: self._wall_lines(body) for name, body in self.model.mesh.bodies.items()}

    def linearised(self, stress: np.ndarray, body: str) -> Linearised:
        """Membrane and membrane + bending of one body from point stress (elements, 4, 6)."""
        lines = self.lines[body]
        flat = stress.reshape(-1, 6)
        membrane, bending = lines.membrane @ flat, lines.bending @ flat
        return Linearised(lines.z, lines.inner, lines.outer, membrane,
                          membrane - bending, membrane + bending)

    def _wall_lines(self, body: Body) -> WallLines:
        """Two-point Gauss quadrature of σ and σ (r − middle) along the lines."""
        z: list[float] = []
        inner: list[float] = []
        outer: list[float] = []
        rows: list[np.ndarray] = []
        places: list[np.ndarray] = []
        weights: list[np.ndarray] = []
        moments: list[np.ndarray] = []
        for cells in body.cells:
            metal = cells[cells >= 0]
            for side in (0, 2):
                place = (4 * metal[:, None] + [side, side + 1]).ravel()
                r = self.r.reshape(-1)[place]
                height = np.repeat((r[1::2] - r[::2]) / GAUSS, 2)  # of each row of elements
                low = r[0] - 0.5 * height[0] * (1.0 - GAUSS)
                high = r[-1] + 0.5 * height[-1] * (1.0 - GAUSS)
                wall = high - low
                rows.append(np.full(len(place), len(z)))
                places.append(place)
                weights.append(0.5 * height / wall)
                moments.append(weights[-1] * (r - 0.5 * (low + high)) * 6.0 / wall)
                z.append(self.z.reshape(-1)[place[0]])
                inner.append(low)
                outer.append(high)
        shape = (len(z), self.r.size)
        index = np.concatenate(rows), np.concatenate(places)
        return WallLines(
            np.array(z), np.array(inner), np.array(outer),
            csr_matrix((np.concatenate(weights), index), shape=shape),
            csr_matrix((np.concatenate(moments), index), shape=shape),
            tuple(places),
        )
