"""Press fit of sleeve and shell: frictionless unilateral contact of two bodies of revolution, n = 0.

At every pair of facing nodes the contact is either closed, u_shell − u_sleeve = δ with pressure >= 0, or
open, with zero pressure and u_shell − u_sleeve > δ; δ is the radial interference. This linear
complementarity problem is solved by block principal pivoting: all pairs that violate their condition
change state at once. When that stops making progress, pairs change one at a time, which terminates
because the compliance matrix of the pairs is positive definite.
Source: Júdice & Pires, Computers & Operations Research 21 (1994) (from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.errors import SolveError
from hoopwright.fem.interface import Interface
from hoopwright.fem.linear_solver import Superposition, factorise
from hoopwright.fem.numbering import (
    axial_pins,
    elimination_order,
    end_face_unknowns,
    masters,
    number_unknowns,
)
from hoopwright.fem.shell_force import ShellForce
from hoopwright.fem.stiffness import MERIDIAN, Model, assembled
from hoopwright.fem.strain import COMPONENTS, TH, R, Z

MAX_STEPS = 300

# Intermediate contact sets rarely recur, and a factor of 20,000 unknowns takes 40 MB.
MAX_CACHED_UNKNOWNS = 60_000
"""Limit on the total number of unknowns of all cached factors."""
MAX_RELEASED = 8  # pairs; releasing more costs more than a new factorisation
MAX_STALLED_STEPS = 3  # block pivoting steps allowed without a decrease in the number of violations


@dataclass(frozen=True)
class PressFit:
    """Solution of a press fit.

    displacement: (nodes, 3), mm; pressure: contact pressure, (pairs,), MPa, compression positive;
    closed: (pairs,) bool, pairs in contact; stuck: whether the faces are also tied axially;
    steps: pivoting steps taken.
    """

    displacement: np.ndarray
    pressure: np.ndarray
    closed: np.ndarray
    stuck: bool
    steps: int


@dataclass(frozen=True)
class _FactorisedSet:
    """The factorised stiffness for one contact set.

    closed, held: (pairs,) bool, pairs tied radially and axially. number: equation number of every
    unknown, `count` for those fixed at zero; count: number of equations. inverse: applies the inverse
    stiffness. unit_openings: by pair, the displacement and contact force of unit interference at that
    pair alone.
    """

    closed: np.ndarray
    held: np.ndarray
    number: np.ndarray
    count: int
    inverse: Superposition
    unit_openings: dict[int, tuple[np.ndarray, np.ndarray]] = field(default_factory=dict)


@dataclass
class FitSolver:
    """Solves press fits of one model and caches factorised stiffness matrices by contact set.

    For a given contact set the fit is linear in interference and load, so a fit that is a linear
    combination of earlier ones is obtained by superposition, and a few pairs that open are released by a
    low-rank correction instead of a new factorisation.

    ends_held: True fixes u_z on all end faces (plane strain), for comparison with closed forms.
    """

    model: Model
    interface: Interface
    ends_held: bool = False
    _factors: dict[bytes, _FactorisedSet] = field(default_factory=dict)

    def press(
        self, radial_interference: np.ndarray, *, stuck: bool, temperature_rise: float = 0.0
    ) -> PressFit:
        """Solve the press fit for radial interference at the pairs, (pairs,), mm.

        stuck: solve again with the faces also tied axially at the pairs that are closed without
        friction. temperature_rise: K, of both bodies. Raises SolveError if pivoting does not converge.
        """
        load = self.model.thermal_load(temperature_rise) if temperature_rise else np.zeros(self.model.size)
        no_pairs = np.zeros(len(radial_interference), dtype=bool)
        start = ~no_pairs if temperature_rise else radial_interference > 0.0
        free = self._pivot(start, no_pairs, radial_interference, load)
        return self._pivot(free.closed, free.closed, radial_interference, load) if stuck else free

    def _pivot(
        self, closed: np.ndarray, held: np.ndarray, radial_interference: np.ndarray, load: np.ndarray
    ) -> PressFit:
        """Pivot pairs between closed and open until no pair is in tension and none overlaps.

        held: pairs tied axially whether closed or open, so that the compliance, and with it the proof
        of termination, does not change with the contact set.
        """
        pairs = self.interface
        small = 1e-12 * max(float(np.max(np.abs(radial_interference))), 1e-6)
        min_offending, patience = len(closed) + 1, MAX_STALLED_STEPS
        for step in range(1, MAX_STEPS + 1):
            u, force = self._solve(closed, held, radial_interference, load)
            gap = u[pairs.shell, R] - u[pairs.sleeve, R] - radial_interference
            pulled = closed & (force < -1e-10 * max(float(np.max(np.abs(force))), 1e-300))
            offending = np.flatnonzero(pulled | (~closed & (gap < -small)))
            if len(offending) == 0:
                pressure = np.where(closed, np.maximum(force, 0.0), 0.0) / pairs.weight
                return PressFit(u, pressure, closed, bool(held.any()), step)
            if len(offending) < min_offending:
                min_offending, patience = len(offending), MAX_STALLED_STEPS
            else:
                patience -= 1
            closed = closed.copy()
            closed[offending if patience >= 0 else offending[-1:]] ^= True
        raise SolveError(f"contact did not converge in {MAX_STEPS} steps")

    def _solve(
        self, closed: np.ndarray, held: np.ndarray, radial_interference: np.ndarray, load: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Displacement (nodes, 3), mm, and contact force per pair, N per radian, for a given contact set.

        The solution is corrected from a factorised set in which a few more pairs are closed: the
        interference at those pairs is changed until they carry no force.
        """
        tied = self._factorised_superset(closed, held)
        u, force = self._solve_factorised(tied, radial_interference, load)
        released = np.flatnonzero(tied.closed & ~closed).tolist()
        if len(released):
            for pair in released:
                if pair not in tied.unit_openings:
                    jump = np.zeros(len(closed))
                    jump[pair] = 1.0
                    tied.unit_openings[pair] = self._solve_factorised(tied, jump, np.zeros(self.model.size))
            moves, forces = zip(*(tied.unit_openings[pair] for pair in released), strict=True)
            matrix = np.stack([f[released] for f in forces], axis=1)
            width = np.linalg.solve(matrix, -force[released])
            u = u + sum(w * move for w, move in zip(width, moves, strict=True))
            force = force + sum(w * f for w, f in zip(width, forces, strict=True))
            force[released] = 0.0
        return u, force

    def _solve_factorised(
        self, tied: _FactorisedSet, radial_interference: np.ndarray, load: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Displacement and contact force, as from _solve, with all pairs of the factorised set closed."""
        pairs, number, count = self.interface, tied.number, tied.count
        jump = np.zeros(self.model.size)
        jump[COMPONENTS * pairs.shell[tied.closed] + R] = radial_interference[tied.closed]
        rhs = np.bincount(number, load - self._shell.at(0, jump), minlength=count + 1)[:count]
        reduced = np.append(tied.inverse(rhs) if np.any(rhs) else np.zeros(count), 0.0)
        u = reduced[number] + jump
        force = (self._shell.at(0, u) - load)[COMPONENTS * pairs.shell + R]
        return u.reshape(-1, COMPONENTS), force

    @cached_property
    def _shell(self) -> ShellForce:
        return ShellForce(self.model, self.interface)

    @cached_property
    def _elimination_order(self) -> np.ndarray:
        """Position of every node in the elimination order, with each pair merged into one node."""
        merged = np.ones(len(self.interface.z), dtype=bool)
        return elimination_order(self.model.mesh, self.interface, merged, unknowns_per_node=2)

    def _factorised_superset(self, closed: np.ndarray, held: np.ndarray) -> _FactorisedSet:
        """A factorised set that equals this one or has at most a few more pairs closed; cached if new."""
        near = [
            (int(np.count_nonzero(tied.closed & ~closed)), key)
            for key, tied in self._factors.items()
            if np.array_equal(tied.held, held) and not np.any(closed & ~tied.closed)
        ]
        released, key = min(near, default=(MAX_RELEASED + 1, b""))
        if released <= MAX_RELEASED:
            self._factors[key] = self._factors.pop(key)  # least recently used first
            return self._factors[key]
        fixed = np.zeros(self.model.size, dtype=bool)
        fixed[TH::COMPONENTS] = True  # no u_θ in an axisymmetric fit
        if self.ends_held:
            fixed[end_face_unknowns(self.model.mesh)] = True
        else:
            fixed[axial_pins(self.interface, tied_axially=bool(held.any()))] = True
        master = masters(self.model.size, self.interface, {R: closed, Z: held})
        number, count = number_unknowns(master, fixed, self._elimination_order)
        local = self.model.element_stiffness_harmonic_zero[:, MERIDIAN[:, None], MERIDIAN]
        (K,) = assembled(number[self.model.dofs[:, MERIDIAN]], count, local)
        inverse = Superposition(factorise(K, ordered=True).solve, max_directions=3 * MAX_RELEASED)
        key = closed.tobytes() + held.tobytes()
        self._factors[key] = _FactorisedSet(closed, held, number, count, inverse)
        while len(self._factors) > 2 and sum(f.count for f in self._factors.values()) > MAX_CACHED_UNKNOWNS:
            del self._factors[next(iter(self._factors))]
        return self._factors[key]


def tie(size: int, pairs: Interface, tied: Mapping[int, np.ndarray]) -> csr_matrix:
    """Constraint matrix T (size, size) that eliminates the shell's tied unknowns in favour of the sleeve's.

    tied: for each displacement component, which pairs are tied in it, (pairs,) bool. Columns of the
    eliminated unknowns are empty.
    """
    master = masters(size, pairs, tied)
    return csr_matrix((np.ones(size), (np.arange(size), master)), shape=(size, size))
