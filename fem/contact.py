"""Pressing the sleeve in: unilateral contact of two bodies of revolution, n = 0.

On every pair of facing nodes either the gap is closed, u_shell − u_sleeve = δ with pressure >= 0, or
it is open with no pressure and u_shell − u_sleeve > δ, δ being the radial interference. Block
principal pivoting finds which: all pairs that break a rule change sides at once, and when that stops
making progress, one at a time, which must end because the compliance of the pairs is positive definite.
Source: Júdice & Pires, Computers & Operations Research 21 (1994) (from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from fem.errors import SolveError
from fem.interface import Interface
from fem.linear import Superposition, factorise
from fem.numbering import elimination_places, masters, numbered
from fem.shell_force import ShellForce
from fem.stiffness import MERIDIAN, Model, assembled
from fem.strain import COMPONENTS, TH, R, Z

MOST_STEPS = 300

# A set on the way to what touches is rarely met again, and a factor of 20,000 unknowns takes 40 MB.
MOST_KEPT = 60_000
"""Unknowns of all the factors kept together."""
MOST_RELEASED = 8  # pairs: more cost more than a factorisation
PATIENCE = 3  # block steps allowed without fewer offending pairs


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


@dataclass(frozen=True)
class _Tied:
    """A set of closed pairs, (pairs,) bool, its held ones, and the inverse of the stiffness they leave.

    number: reduced number of every unknown; count: how many there are; that many again means zero.
    widened: displacement and force, as of a fit, of unit interference at one pair alone.
    """

    closed: np.ndarray
    held: np.ndarray
    number: np.ndarray
    count: int
    inverse: Superposition
    widened: dict[int, tuple[np.ndarray, np.ndarray]] = field(default_factory=dict)


@dataclass
class FitSolver:
    """Solves press fits of one model; keeps the last factors, which depend only on what touches.
    While that stays the same a fit is linear in interference and load: one that earlier fits add up to is
    not solved again, and a few pairs that open are solved for without a new factor.

    ends_held: True fixes u_z on all end faces (plane strain), for comparison with closed forms.
    """

    model: Model
    interface: Interface
    ends_held: bool = False
    _factors: dict[bytes, _Tied] = field(default_factory=dict)

    def press(
        self, radial_interference: np.ndarray, *, stuck: bool, temperature_rise: float = 0.0
    ) -> PressFit:
        """Contact state for a profile of radial interference at the pairs, mm, (pairs,).

        stuck: also hold the faces together axially wherever they touch without friction.
        temperature_rise: K, of both bodies. Raises SolveError if the contact does not settle.
        """
        load = (self.model.thermal_load(temperature_rise) if temperature_rise
                else np.zeros(self.model.size))
        nowhere = np.zeros(len(radial_interference), dtype=bool)
        start = ~nowhere if temperature_rise else radial_interference > 0.0
        free = self._settle(start, nowhere, radial_interference, load)
        return self._settle(free.closed, free.closed, radial_interference, load) if stuck else free

    def _settle(
        self, closed: np.ndarray, held: np.ndarray, radial_interference: np.ndarray, load: np.ndarray
    ) -> PressFit:
        """Pivot pairs between closed and open until none pulls and none overlaps; held: pairs tied
        axially whatever their state, so that the rule of convergence stays true."""
        pairs = self.interface
        small = 1e-12 * max(float(np.max(np.abs(radial_interference))), 1e-6)
        fewest, patience = len(closed) + 1, PATIENCE
        for step in range(1, MOST_STEPS + 1):
            u, force = self._solve(closed, held, radial_interference, load)
            gap = u[pairs.shell, R] - u[pairs.sleeve, R] - radial_interference
            pulled = closed & (force < -1e-10 * max(float(np.max(np.abs(force))), 1e-300))
            offending = np.flatnonzero(pulled | (~closed & (gap < -small)))
            if len(offending) == 0:
                pressure = np.where(closed, np.maximum(force, 0.0), 0.0) / pairs.weight
                return PressFit(u, pressure, closed, bool(held.any()), step)
            if len(offending) < fewest:
                fewest, patience = len(offending), PATIENCE
            else:
                patience -= 1
            closed = closed.copy()
            closed[offending if patience >= 0 else offending[-1:]] ^= True
        raise SolveError(f"contact did not settle in {MOST_STEPS} steps")

    def _solve(
        self, closed: np.ndarray, held: np.ndarray, radial_interference: np.ndarray, load: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Displacement (nodes, 3) and contact force per pair, N per radian, for a given set.

        Found from a set that was factorised and in which a few more pairs are closed: those are widened
        until they carry nothing.
        """
        tied = self._joined(closed, held)
        u, force = self._tied(tied, radial_interference, load)
        released = np.flatnonzero(tied.closed & ~closed).tolist()
        if len(released):
            for pair in released:
                if pair not in tied.widened:
                    jump = np.zeros(len(closed))
                    jump[pair] = 1.0
                    tied.widened[pair] = self._tied(tied, jump, np.zeros(self.model.size))
            moves, forces = zip(*(tied.widened[pair] for pair in released), strict=True)
            matrix = np.stack([f[released] for f in forces], axis=1)
            width = np.linalg.solve(matrix, -force[released])
            u = u + sum(w * move for w, move in zip(width, moves, strict=True))
            force = force + sum(w * f for w, f in zip(width, forces, strict=True))
            force[released] = 0.0
        return u, force

    def _tied(
        self, tied: _Tied, radial_interference: np.ndarray, load: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """The same with all pairs of the factorised set closed."""
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
    def _places(self) -> np.ndarray:
        """Place of every node in the elimination, every pair taken as one node."""
        together = np.ones(len(self.interface.z), dtype=bool)
        return elimination_places(self.model.mesh, self.interface, together, each=2)

    def _joined(self, closed: np.ndarray, held: np.ndarray) -> _Tied:
        """The factorised set to find this one from: itself, or one with a few more pairs closed."""
        near = [
            (int(np.count_nonzero(tied.closed & ~closed)), key) for key, tied in self._factors.items()
            if np.array_equal(tied.held, held) and not np.any(closed & ~tied.closed)]
        released, key = min(near, default=(MOST_RELEASED + 1, b""))
        if released <= MOST_RELEASED:
            self._factors[key] = self._factors.pop(key)  # the one used last stands last
            return self._factors[key]
        zero = np.zeros(self.model.size, dtype=bool)
        zero[TH::COMPONENTS] = True  # no u_θ in an axisymmetric fit
        zero[self._axial_stops(held)] = True
        master = masters(self.model.size, self.interface, {R: closed, Z: held})
        number, count = numbered(master, zero, self._places)
        local = self.model.element_stiffness_round[:, MERIDIAN[:, None], MERIDIAN]
        (K,) = assembled(number[self.model.dofs[:, MERIDIAN]], count, local)
        inverse = Superposition(factorise(K, ordered=True).solve, keep=3 * MOST_RELEASED)
        key = closed.tobytes() + held.tobytes()
        self._factors[key] = _Tied(closed, held, number, count, inverse)
        while len(self._factors) > 2 and sum(f.count for f in self._factors.values()) > MOST_KEPT:
            del self._factors[next(iter(self._factors))]
        return self._factors[key]

    def _axial_stops(self, held: np.ndarray) -> np.ndarray:
        """Unknowns u_z that take out rigid sliding; their reaction is nil unless the ends are held."""
        mesh = self.model.mesh
        if self.ends_held:
            ends = [f.nodes for name, f in mesh.faces.items() if name.endswith(("left", "right"))]
            return COMPONENTS * np.unique(np.concatenate([e.ravel() for e in ends])) + Z
        middle = len(held) // 2
        stops = [self.interface.shell[middle]]
        if not held.any():
            stops.append(self.interface.sleeve[middle])
        return COMPONENTS * np.array(stops) + Z


def tie(size: int, pairs: Interface, tied: Mapping[int, np.ndarray]) -> csr_matrix:
    """Matrix (size, size) that replaces the shell's tied unknowns by the sleeve's.

    tied: for each displacement component the pairs tied in it, bool (pairs,). Columns of replaced
    unknowns are empty.
    """
    master = masters(size, pairs, tied)
    return csr_matrix((np.ones(size), (np.arange(size), master)), shape=(size, size))
