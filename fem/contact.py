"""Pressing the sleeve in: unilateral contact of two bodies of revolution, n = 0.

On every pair of facing nodes either the gap is closed, u_shell − u_sleeve = δ with pressure >= 0, or
it is open with no pressure and u_shell − u_sleeve > δ, δ being the radial interference. A primal-dual
active set finds which. Source: Hintermüller, Ito & Kunisch, SIAM J. Optim. 13 (2002), the active set
strategy as a semismooth Newton method (from memory, not seen).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.sparse import csr_matrix

from fem.errors import SolveError
from fem.interface import Interface
from fem.linear import Factor, factorise
from fem.stiffness import Model
from fem.strain import COMPONENTS, R, Z

MOST_STEPS = 60


@dataclass(frozen=True)
class PressFit:
    """State after pressing. displacement: (nodes, 3) mm; pressure: (pairs,) MPa, compression positive.

    closed: (pairs,) bool, where the faces touch; stuck: whether they also hold each other axially;
    steps: contact iterations used.
    """

    displacement: np.ndarray
    pressure: np.ndarray
    closed: np.ndarray
    stuck: bool
    steps: int


@dataclass
class FitSolver:
    """Solves press fits of one model; keeps the factors, which depend only on what touches.

    ends_held: True fixes u_z on all end faces (plane strain), for comparison with closed forms.
    """

    model: Model
    interface: Interface
    ends_held: bool = False
    _factors: dict[bytes, tuple[csr_matrix, Factor, np.ndarray]] = field(default_factory=dict)

    def press(
        self, radial_interference: np.ndarray, *, stuck: bool, temperature_rise: float = 0.0
    ) -> PressFit:
        """Contact state for a profile of radial interference at the pairs, mm, (pairs,).

        temperature_rise: K, of both bodies. Raises SolveError if the active set does not settle.
        """
        pairs = self.interface
        load = self.model.thermal_load(temperature_rise) if temperature_rise else np.zeros(
            self.model.size)
        closed = radial_interference > 0.0
        if temperature_rise:
            closed = np.ones_like(closed)
        small = 1e-12 * max(float(np.max(np.abs(radial_interference))), 1e-6)
        for step in range(1, MOST_STEPS + 1):
            u, force = self._solve(closed, radial_interference, load, stuck)
            gap = u[pairs.shell, R] - u[pairs.sleeve, R] - radial_interference
            pulled = closed & (force < -1e-10 * max(float(np.max(np.abs(force))), 1e-300))
            through = ~closed & (gap < -small)
            if not pulled.any() and not through.any():
                pressure = np.where(closed, np.maximum(force, 0.0), 0.0) / pairs.weight
                return PressFit(u, pressure, closed, stuck, step)
            closed = (closed & ~pulled) | through
        raise SolveError(f"contact did not settle in {MOST_STEPS} steps")

    def _solve(self, closed, radial_interference, load, stuck):
        """Displacement (nodes, 3) and contact force per pair, N per radian, for a given set."""
        pairs = self.interface
        join, factor, kept = self._joined(closed, stuck)
        K = self.model.stiffness.K0
        jump = np.zeros(self.model.size)
        jump[COMPONENTS * pairs.shell[closed] + R] = radial_interference[closed]
        rhs = (join.T @ (load - K @ jump))[kept]
        reduced = np.zeros(join.shape[1])
        if np.any(rhs):
            reduced[kept] = factor.solve(rhs)
        u = join @ reduced + jump
        force = (K @ u - load)[COMPONENTS * pairs.shell + R]
        return u.reshape(-1, COMPONENTS), force

    def _joined(self, closed: np.ndarray, stuck: bool) -> tuple[csr_matrix, Factor, np.ndarray]:
        """Map from reduced to all unknowns, factor of the reduced stiffness, unknowns it keeps."""
        key = closed.tobytes() + bytes([stuck])
        if key not in self._factors:
            tied = (R, Z) if stuck else (R,)
            join = tie(self.model.size, self.interface, closed, tied)
            fixed = np.zeros(self.model.size, dtype=bool)
            fixed[1::COMPONENTS] = True  # no u_θ in an axisymmetric fit
            fixed[self._axial_stops(closed, stuck)] = True
            kept = np.flatnonzero((join.T @ fixed == 0) & (np.diff(join.tocsc().indptr) > 0))
            reduced = (join.T @ self.model.stiffness.K0 @ join).tocsr()[kept][:, kept]
            self._factors[key] = join, factorise(reduced), kept
        return self._factors[key]

    def _axial_stops(self, closed: np.ndarray, stuck: bool) -> np.ndarray:
        """Unknowns u_z that take out rigid sliding; their reaction is nil unless the ends are held."""
        mesh = self.model.mesh
        if self.ends_held:
            ends = [f.nodes for name, f in mesh.faces.items() if name.endswith(("left", "right"))]
            return COMPONENTS * np.unique(np.concatenate([e.ravel() for e in ends])) + Z
        middle = len(closed) // 2
        stops = [self.interface.shell[middle]]
        if not (stuck and closed.any()):
            stops.append(self.interface.sleeve[middle])
        return COMPONENTS * np.array(stops) + Z


def tie(
    size: int, pairs: Interface, closed: np.ndarray, components: tuple[int, ...]
) -> csr_matrix:
    """Matrix (size, size) that replaces the shell's tied unknowns by the sleeve's.

    Columns of replaced unknowns are empty.
    """
    master = np.arange(size)
    for c in components:
        master[COMPONENTS * pairs.shell[closed] + c] = COMPONENTS * pairs.sleeve[closed] + c
    return csr_matrix((np.ones(size), (np.arange(size), master)), shape=(size, size))
