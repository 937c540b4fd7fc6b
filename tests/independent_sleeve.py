"""Press fits of two bodies of revolution, by a model that shares neither code nor method with `fem/`.

Six-node triangles on an own mesh of each body, which do not match along the seat; stiffness from the
literal form ∫ σ(u) : ε(v) 2πr dr dz; contact at Gauss points along the seat, whose pressure is a multiplier
that grows with the penetration (augmented Lagrange); friction by Coulomb's law while the whole seat slides,
its traction carried over from the pressure until neither changes. mm, N, MPa.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import skfem
from scipy.sparse.linalg import splu
from skfem.helpers import grad

FINEST, GROWTH, LONGEST = 0.08, 1.35, 1.6
"""Length of a triangle at a corner, how it grows from there, and at most, mm."""
AUGMENTATIONS, NEWTON_STEPS, FRICTION_ROUNDS = 3, 40, 40
STIFFNESS = 2.0e6
"""Pressure per penetration while the contact is sought, MPa/mm."""


class Rectangle(NamedTuple):
    """A part of the half section of a body: from r_0 to r_1 and from z_0 to z_1, mm."""

    r_0: float
    r_1: float
    z_0: float
    z_1: float


class Seat(NamedTuple):
    """Where the bodies may touch: radius, both ends, and the interference there on the radius, mm."""

    radius: float
    z_0: float
    z_1: float
    interference: float


@dataclass(frozen=True)
class Body:
    """A body of revolution made of rectangles that share their corner lines. corners: further z, mm, at
    which the mesh is fine. coarser: times longer elements."""

    rectangles: tuple[Rectangle, ...]
    young_modulus: float
    poisson_ratio: float
    corners: tuple[float, ...] = ()
    coarser: float = 1.0

    @cached_property
    def basis(self) -> skfem.Basis:
        return skfem.Basis(self._mesh, skfem.ElementVector(skfem.ElementTriP2()), intorder=4)

    @cached_property
    def _mesh(self) -> skfem.MeshTri:
        """Cells of a grid of lines through all corners that lie in the body, each cut in two triangles."""
        r = _lines([x for one in self.rectangles for x in one[:2]], self.coarser)
        z = _lines([*(x for one in self.rectangles for x in one[2:]), *self.corners], self.coarser)
        number = np.arange(len(r) * len(z)).reshape(len(z), len(r))
        triangles = []
        for j in range(len(z) - 1):
            for i in range(len(r) - 1):
                if not self._has(0.5 * (r[i] + r[i + 1]), 0.5 * (z[j] + z[j + 1])):
                    continue
                a, b = number[j, i], number[j, i + 1]
                d, c = number[j + 1, i], number[j + 1, i + 1]
                triangles += [(a, b, c), (a, c, d)] if (i + j) % 2 else [(a, b, d), (b, c, d)]
        used, at = np.unique(triangles, return_inverse=True)
        points = np.array([np.tile(r, len(z)), np.repeat(z, len(r))])[:, used]
        return skfem.MeshTri(np.ascontiguousarray(points), np.ascontiguousarray(at.reshape(-1, 3).T))

    def _has(self, r: float, z: float) -> bool:
        return any(a < r < b and c < z < d for a, b, c, d in self.rectangles)

    @property
    def _lame(self) -> tuple[float, float]:
        e, nu = self.young_modulus, self.poisson_ratio
        return e * nu / ((1.0 + nu) * (1.0 - 2.0 * nu)), 0.5 * e / (1.0 + nu)

    @cached_property
    def _solver(self):
        """Factors of the stiffness with one node kept from moving along the axis: no load pulls on it."""
        lam, mu = self._lame

        @skfem.BilinearForm
        def work(u, v, w):
            du, dv, r = grad(u), grad(v), w.x[0]
            e = du[0, 0], u[0] / r, du[1, 1], du[0, 1] + du[1, 0]
            d = dv[0, 0], v[0] / r, dv[1, 1], dv[0, 1] + dv[1, 0]
            volume = e[0] + e[1] + e[2]
            normal = sum(
                (lam * volume + 2.0 * mu * strain) * virtual
                for strain, virtual in zip(e[:3], d[:3], strict=True)
            )
            return (normal + mu * e[3] * d[3]) * 2.0 * np.pi * r

        stiffness = work.assemble(self.basis).tolil()
        self_held = int(self.basis.nodal_dofs[1, 0])
        stiffness[self_held, self_held] += 1e3 * self.young_modulus
        return splu(stiffness.tocsc())

    def moved_by(self, loads: np.ndarray) -> np.ndarray:
        """Displacements under nodal loads, (dofs, loads), N, each of which is balanced along the axis."""
        return self._solver.solve(np.ascontiguousarray(loads))

    def edges(self, radius: float, z_0: float, z_1: float) -> np.ndarray:
        """The edges along a cylinder between two places, rising in z, by number."""
        ends = self._mesh.p[:, self._mesh.facets]
        on = np.all(np.abs(ends[0] - radius) < 1e-9, axis=0) & np.all(
            (ends[1] > z_0 - 1e-9) & (ends[1] < z_1 + 1e-9), axis=0
        )
        found = np.flatnonzero(on)
        return found[np.argsort(ends[1].mean(axis=0)[found])]

    def along(self, seat: Seat, z: np.ndarray, component: int) -> np.ndarray:
        """What gives a component of the displacement at places of the seat, (places, dofs)."""
        edges = self.edges(seat.radius, seat.z_0, seat.z_1)
        vertices = self._mesh.facets[:, edges]
        order = np.argsort(self._mesh.p[1, vertices], axis=0)
        low, high = np.take_along_axis(vertices, order, axis=0)
        start, end = self._mesh.p[1, low], self._mesh.p[1, high]
        k = np.clip(np.searchsorted(end, z), 0, len(edges) - 1)
        s = (z - start[k]) / (end[k] - start[k])
        found = np.zeros((len(z), self.basis.N))
        for dofs, share in (
            (self.basis.nodal_dofs[component, low[k]], (1.0 - s) * (1.0 - 2.0 * s)),
            (self.basis.nodal_dofs[component, high[k]], s * (2.0 * s - 1.0)),
            (self.basis.facet_dofs[component, edges[k]], 4.0 * s * (1.0 - s)),
        ):
            found[np.arange(len(z)), dofs] += share
        return found

    def pushed(self, end: str) -> np.ndarray:
        """Nodal load of 1 N along +z, even on the whole face of an end, (dofs,)."""
        z = min(self._mesh.p[1]) if end == "left" else max(self._mesh.p[1])
        facets = np.flatnonzero(np.all(np.abs(self._mesh.p[1, self._mesh.facets] - z) < 1e-9, axis=0))
        face = skfem.FacetBasis(self._mesh, self.basis.elem, facets=facets, intorder=4)

        @skfem.LinearForm
        def pull(v, w):
            return v[1] * 2.0 * np.pi * w.x[0]

        load = pull.assemble(face)
        return load / load.sum()

    def hoop(self, displacement: np.ndarray, radius: float, z: float) -> float:
        """Hoop stress on a cylinder of the body at z, MPa, from the strains at the two Gauss points of each
        of the sides next to it, where a gradient is most exact."""
        edges = self.edges(radius, -np.inf, np.inf)
        middles = self._mesh.p[1, self._mesh.facets[:, edges]].mean(axis=0)
        nearest = np.sort(edges[np.argsort(np.abs(middles - z))[:2]])
        face = skfem.FacetBasis(self._mesh, self.basis.elem, facets=nearest, intorder=2)
        u = face.interpolate(displacement)
        (lam, mu), du, at = self._lame, grad(u), face.global_coordinates()
        hoop = u[0] / at[0]
        stress = lam * (du[0, 0] + hoop + du[1, 1]) + 2.0 * mu * hoop
        return float(np.polyval(np.polyfit(np.ravel(at[1]) - z, np.ravel(stress), 2), 0.0))


class Fit(NamedTuple):
    """A solved press fit. mean_pressure: MPa; normal_force: ∫ p dA, N; moved: displacement by body."""

    mean_pressure: float
    normal_force: float
    moved: dict[str, np.ndarray]


@dataclass(frozen=True)
class Pair:
    """A sleeve in a shell."""

    sleeve: Body
    shell: Body
    seats: tuple[Seat, ...]

    def frictionless(self) -> Fit:
        return self._solved(np.zeros(len(self._weight)), {})

    def sliding(self, friction: float, *, loaded: str, held: str) -> Fit:
        """While the sleeve slides towards +z: the force acts on its face `loaded`, the shell is held at the
        face `held`; "left" or "right"."""
        found = self.frictionless()
        along = np.zeros(len(self._weight))
        for _ in range(FRICTION_ROUNDS):
            pressure = self._pressure(self._apart(along, {}))
            force = float(self._weight @ along)
            faces = {
                "sleeve": force * self.sleeve.pushed(loaded),
                "shell": -force * self.shell.pushed(held),
            }
            pressure = self._pressure(self._apart(along, faces))
            new = friction * pressure
            if np.allclose(new, along, rtol=0.0, atol=1e-9 * max(new.max(), 1.0)):
                return self._solved(along, faces)
            along = new
        raise AssertionError(f"friction does not settle, ∫ p dA {found.normal_force:.0f} N without it")

    @cached_property
    def _places(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Gauss points along the seats: z, ∫ dA, and radial interference."""
        points, share = np.polynomial.legendre.leggauss(2)
        z, weight, interference = [], [], []
        for seat in self.seats:
            marks = {seat.z_0, seat.z_1}
            for body in (self.sleeve, self.shell):
                edges = body.edges(seat.radius, seat.z_0, seat.z_1)
                marks |= set(body._mesh.p[1, body._mesh.facets[:, edges]].round(9).ravel())
            lines = np.array(sorted(marks))
            half, middle = 0.5 * np.diff(lines), 0.5 * (lines[1:] + lines[:-1])
            z.append((middle[:, None] + half[:, None] * points).ravel())
            weight.append((2.0 * np.pi * seat.radius * half[:, None] * share).ravel())
            interference.append(np.full(2 * len(half), seat.interference))
        return tuple(map(np.concatenate, (z, weight, interference)))

    @property
    def _weight(self) -> np.ndarray:
        return self._places[1]

    @cached_property
    def _reach(self) -> dict[tuple[str, int], np.ndarray]:
        """What gives each component of each body's displacement at the points, (points, dofs)."""
        z, found = self._places[0], {}
        for name, body in (("sleeve", self.sleeve), ("shell", self.shell)):
            for component in (0, 1):
                rows = [np.zeros((0, body.basis.N))]
                for seat in self.seats:
                    here = z[(z > seat.z_0) & (z < seat.z_1)]
                    rows.append(body.along(seat, here, component))
                found[name, component] = np.concatenate(rows)
        return found

    @cached_property
    def _give(self) -> np.ndarray:
        """How far the faces part at every point by 1 MPa at every other, (points, points), mm."""
        total = np.zeros((len(self._weight),) * 2)
        for name, body in (("sleeve", self.sleeve), ("shell", self.shell)):
            radial = self._reach[name, 0]
            total += radial @ body.moved_by((radial * self._weight[:, None]).T)
        return total

    def _loads(
        self, pressure: np.ndarray, along: np.ndarray, faces: dict[str, np.ndarray]
    ) -> dict[str, np.ndarray]:
        """Nodal loads on both bodies; along: friction on the shell towards +z, MPa."""
        return {
            name: sense
            * (
                self._reach[name, 0].T @ (self._weight * pressure)
                + self._reach[name, 1].T @ (self._weight * along)
            )
            + faces.get(name, 0.0)
            for name, sense in (("sleeve", -1.0), ("shell", 1.0))
        }

    def _apart(self, along: np.ndarray, faces: dict[str, np.ndarray]) -> np.ndarray:
        """Penetration at the points that all loads but the pressure leave, mm."""
        loads = self._loads(np.zeros_like(along), along, faces)
        inward, outward = (
            self._reach[name, 0] @ body.moved_by(loads[name][:, None])[:, 0]
            for name, body in (("sleeve", self.sleeve), ("shell", self.shell))
        )
        return np.asarray(self._places[2] + inward - outward)

    def _pressure(self, free: np.ndarray) -> np.ndarray:
        """Augmented Lagrange: p = max(0, λ + k g) with g = free − C p by Newton's method, then λ = p."""
        multiplier = np.zeros_like(free)
        for _ in range(AUGMENTATIONS):
            pressure = multiplier.copy()
            for _ in range(NEWTON_STEPS):
                trial = multiplier + STIFFNESS * (free - self._give @ pressure)
                touching = trial > 0.0
                residual = pressure - np.where(touching, trial, 0.0)
                if np.max(np.abs(residual)) < 1e-9:
                    break
                slope = np.eye(len(free)) + STIFFNESS * touching[:, None] * self._give
                pressure = pressure - np.linalg.solve(slope, residual)
            else:
                raise AssertionError("contact is not found")
            multiplier = pressure
        return multiplier

    def _solved(self, along: np.ndarray, faces: dict[str, np.ndarray]) -> Fit:
        pressure = self._pressure(self._apart(along, faces))
        loads = self._loads(pressure, along, faces)
        bodies: Sequence[tuple[str, Body]] = (("sleeve", self.sleeve), ("shell", self.shell))
        normal = float(self._weight @ pressure)
        return Fit(
            normal / float(self._weight.sum()),
            normal,
            {name: body.moved_by(loads[name][:, None])[:, 0] for name, body in bodies},
        )


def _lines(marks: Sequence[float], coarser: float) -> np.ndarray:
    """Mesh lines through all marks, short beside each and longer away from them."""
    ends = np.unique(np.round(marks, 9))
    lines = [ends[:1]]
    for low, high in zip(ends[:-1], ends[1:], strict=True):
        steps, reach = [], 0.0
        size = FINEST * coarser
        while reach + size < 0.5 * (high - low):
            steps.append(size)
            reach += size
            size = min(size * GROWTH, LONGEST * coarser)
        half = np.append(0.0, np.cumsum([*steps, max(size, 1e-9)]))
        half *= 0.5 * (high - low) / half[-1]
        lines.append(np.append(low + half, (high - half[::-1])[1:])[1:])
    return np.concatenate(lines)
