"""Shell and sleeve with one set of pairs closed: a linear system, factorised once, n = 0.

    K u = f,   u_shell − u_sleeve = δ at the closed pairs

A few of these pairs can be released without another factorisation: their gap is opened until they carry no
force.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from hoopwright.fem.factor_cache import MAX_RELEASED
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
from hoopwright.fem.stiffness import Model, assembled
from hoopwright.fem.strain import COMPONENTS, TH, R, Z


class Equilibrium(NamedTuple):
    """displacement: (size,), mm; force: contact force per pair, (pairs,), N per radian, push positive."""

    displacement: np.ndarray
    force: np.ndarray


@dataclass(frozen=True)
class TwoBodies:
    """Shell and sleeve with every pair still open: what systems of all contact sets have in common.

    ends_held: True fixes u_z on all end faces (plane strain), for comparison with closed forms.
    """

    model: Model
    pairs: Interface
    ends_held: bool = False

    @cached_property
    def shell(self) -> ShellForce:
        return ShellForce(self.model, self.pairs)

    @cached_property
    def order(self) -> np.ndarray:
        """Position of every node in the elimination order, (nodes,); the nodes of a pair share theirs."""
        merged = np.ones(len(self.pairs.z), dtype=bool)
        return elimination_order(self.model.mesh, self.pairs, merged)

    def fixed(self, held: np.ndarray) -> np.ndarray:
        """Unknowns fixed at zero, (size,) bool, where pairs `held` (pairs,) are tied axially.

        They are u_θ, and u_z on the end faces or at a pin that takes no force.
        """
        fixed = np.zeros(self.model.size, dtype=bool)
        fixed[TH::COMPONENTS] = True
        if self.ends_held:
            fixed[end_face_unknowns(self.model.mesh)] = True
        else:
            fixed[axial_pins(self.pairs, tied_axially=bool(held.any()))] = True
        return fixed


class ContactSystem:
    """Equilibrium of both bodies with one set of pairs closed, or all but a few of them.

    closed, held: (pairs,) bool, pairs tied radially and axially. unknowns: number of equations.
    """

    def __init__(self, bodies: TwoBodies, closed: np.ndarray, held: np.ndarray) -> None:
        self.bodies, self.closed, self.held = bodies, closed, held
        model = bodies.model
        master = masters(model.size, bodies.pairs, {R: closed, Z: held})
        self._number, self.unknowns = number_unknowns(master, bodies.fixed(held), bodies.order)
        dofs, local = self._number[model.meridian_dofs], model.element_stiffness_meridian
        (K,) = assembled(dofs, self.unknowns, local)
        self._inverse = Superposition(factorise(K, ordered=True).solve, max_directions=3 * MAX_RELEASED)
        self._unit_openings: dict[int, Equilibrium] = {}

    def solve(self, closed: np.ndarray, radial_interference: np.ndarray, load: np.ndarray) -> Equilibrium:
        """Equilibrium with some of the system's pairs closed and its others released.

        closed: (pairs,) bool, all of them closed in the system. radial_interference: (pairs,), mm.
        load: nodal forces, (size,), N per radian.
        """
        tied = self._solve_tied(radial_interference, load)
        released = np.flatnonzero(self.closed & ~closed).tolist()
        return release(released, tied, [self._unit_opening(pair) for pair in released])

    def _unit_opening(self, pair: int) -> Equilibrium:
        """Equilibrium without load where this pair alone has interference, of 1 mm."""
        if pair not in self._unit_openings:
            jump = np.zeros(len(self.closed))
            jump[pair] = 1.0
            self._unit_openings[pair] = self._solve_tied(jump, np.zeros(self.bodies.model.size))
        return self._unit_openings[pair]

    def _solve_tied(self, radial_interference: np.ndarray, load: np.ndarray) -> Equilibrium:
        """Equilibrium with all pairs of the system closed."""
        pairs, shell, closed = self.bodies.pairs, self.bodies.shell, self.closed
        jump = np.zeros(len(load))
        jump[COMPONENTS * pairs.shell[closed] + R] = radial_interference[closed]
        outside = load - shell.in_meridian(jump)
        rhs = np.bincount(self._number, outside, minlength=self.unknowns + 1)[: self.unknowns]
        reduced = np.append(self._inverse(rhs) if np.any(rhs) else np.zeros(self.unknowns), 0.0)
        u = reduced[self._number] + jump
        return Equilibrium(u, (shell.in_meridian(u) - load)[COMPONENTS * pairs.shell + R])


def release(pairs: Sequence[int], tied: Equilibrium, unit_openings: Sequence[Equilibrium]) -> Equilibrium:
    """Equilibrium with a few pairs open, from the one with these pairs closed.

    Opening pair k by w_k adds w_k times its unit opening, and an open pair i carries no force:

        force_i + Σ_k w_k force_ik = 0

    unit_openings: equilibrium under unit interference at each of the pairs alone.
    """
    if not pairs:
        return tied
    moves, forces = zip(*unit_openings, strict=True)
    width = np.linalg.solve(np.stack([f[pairs] for f in forces], axis=1), -tied.force[pairs])
    u = tied.displacement + sum(w * move for w, move in zip(width, moves, strict=True))
    force = tied.force + sum(w * f for w, f in zip(width, forces, strict=True))
    force[pairs] = 0.0
    return Equilibrium(u, force)
