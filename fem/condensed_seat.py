"""Both bodies condensed to the pairs of the seat, n = 0.

What happens between the bodies depends on the jump of the displacement across the seat alone,

    d = u_shell − u_sleeve = C f + d_load + (0, w)

f: forces of the sleeve on the shell at the pairs, which act on the sleeve the other way round; C:
compliance of both bodies together; d_load: jump that loads on the bodies cause by themselves; w: axial
motion of the shell as a whole against the sleeve, which no elastic force resists. Forces and jumps are
stored with all radial components first, then all axial ones.

C costs one solution a pair, once; after that a fit is a small dense system, whatever the loads, the
contact set and the friction.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright.fem.banded import BandFactor
from hoopwright.fem.interface import Interface
from hoopwright.fem.linear_solver import Factor, factorise
from hoopwright.fem.numbering import axial_pins, number_unknowns
from hoopwright.fem.stiffness import Model, assembled
from hoopwright.fem.strain import COMPONENTS, TH, R, Z

SOFTNESS = 1e8
MAX_ENTRIES = 40_000_000
"""Entries of Y, 320 MB, above which memory counts for more than time."""
ROUNDING = 1e-9
"""Of the sum of all axial forces, whatever their sign; a net force below it is rounding."""
COLUMNS_AT_ONCE = 64
"""Right-hand sides solved together, so that memory stays at a few vectors per pair."""


@dataclass(frozen=True)
class SeatLoad:
    """A load on the bodies as the seat feels it.

    jump: d_load, (2 · pairs,), mm; on_sleeve, on_shell: net axial force on each body, N per radian; terms:
    the nodal loads it is made of, (size,), N per radian, each with a factor.
    """

    jump: np.ndarray
    on_sleeve: float
    on_shell: float
    terms: tuple[tuple[float, np.ndarray], ...]

    @property
    def nodal(self) -> np.ndarray:
        """Nodal load, (size,), N per radian."""
        return np.sum([factor * load for factor, load in self.terms], axis=0)

    def __add__(self, other: SeatLoad) -> SeatLoad:
        return SeatLoad(
            self.jump + other.jump,
            self.on_sleeve + other.on_sleeve,
            self.on_shell + other.on_shell,
            self.terms + other.terms,
        )

    def __mul__(self, factor: float) -> SeatLoad:
        terms = tuple((factor * own, load) for own, load in self.terms)
        return SeatLoad(factor * self.jump, factor * self.on_sleeve, factor * self.on_shell, terms)

    __rmul__ = __mul__


class CondensedSeat:
    """Compliance of both bodies at the pairs, with no pair closed."""

    def __init__(self, model: Model, pairs: Interface) -> None:
        self.model, self.pairs = model, pairs

    @property
    def count(self) -> int:
        """Number of pairs."""
        return len(self.pairs.z)

    @cached_property
    def compliance(self) -> np.ndarray:
        """C, (2 · pairs, 2 · pairs), mm per (N per radian).

        With B the unit forces at the pairs, C = Bᵀ K⁻¹ B = YᵀY with Y = L⁻¹B and K = L Lᵀ: half a solution
        for each of them, body by body.
        """
        number, factor = self._factor
        band, unknowns = factor.back_substitute, factor.matrix.shape[0]
        if not isinstance(band, BandFactor) or 2 * self.count * unknowns > MAX_ENTRIES:
            return self._compliance_by_columns()
        C = np.zeros((2 * self.count, 2 * self.count))
        for body, at_pairs in (("sleeve", self._sleeve), ("shell", self._shell)):
            own = number[_unknowns(self.model.mesh.body_nodes(body))]
            rows = range(int(own.min()), int(own[own < unknowns].max()) + 1)
            first = number[at_pairs]
            columns = np.argsort(first)[: np.count_nonzero(first < unknowns)]  # the others are pinned
            C[np.ix_(columns, columns)] += band.gram(first[columns], rows)
        return C

    def _compliance_by_columns(self) -> np.ndarray:
        width = 2 * self.count
        C = np.empty((width, width))
        for start in range(0, width, COLUMNS_AT_ONCE):
            columns = np.arange(start, min(start + COLUMNS_AT_ONCE, width))
            unit = np.zeros((width, len(columns)))
            unit[columns, np.arange(len(columns))] = 1.0
            C[:, columns] = self._jump(self._solve(self._nodal(unit)))
        return 0.5 * (C + C.T)

    @cached_property
    def restraint(self) -> float:
        """Compliance of a spring between the bodies, mm per (N per radian), so soft that it carries
        nothing.

        It stands for the free axial motion w, so that every contact set has a solution.
        """
        return SOFTNESS * float(np.max(np.diag(self.compliance)))

    def load(self, nodal: np.ndarray) -> SeatLoad:
        """A nodal load, (size,), N per radian, and what it does at the seat.

        Raises ValueError unless the axial forces on both bodies together are zero.
        """
        along = nodal.reshape(-1, COMPONENTS)[:, Z]
        on_sleeve, on_shell = (
            _net(along[self.model.mesh.body_nodes(body)]) for body in ("sleeve", "shell")
        )
        if abs(on_sleeve + on_shell) > ROUNDING * float(np.sum(np.abs(along))):
            raise ValueError(
                f"need an axial load in balance, got {2.0 * np.pi * on_sleeve:.6g} N on the sleeve and "
                f"{2.0 * np.pi * on_shell:.6g} N on the shell"
            )
        jump = self._jump(self._solve(nodal)) if np.any(nodal) else np.zeros(2 * self.count)
        return SeatLoad(jump, on_sleeve, on_shell, ((1.0, nodal),))

    def displacement(self, force: np.ndarray, load: SeatLoad, shift: float) -> np.ndarray:
        """Displacement of both bodies, (nodes, 3), mm.

        force: at the pairs, (2 · pairs,), N per radian; shift: w, mm, which moves the shell.
        """
        u = self._solve(load.nodal + self._nodal(force)).reshape(-1, COMPONENTS)
        u[self.model.mesh.body_nodes("shell"), Z] += shift
        return u

    def _nodal(self, force: np.ndarray) -> np.ndarray:
        """Nodal load of forces at the pairs, (2 · pairs,) or (2 · pairs, loads)."""
        nodal = np.zeros((self.model.size, *force.shape[1:]))
        nodal[self._shell], nodal[self._sleeve] = force, -force
        return nodal

    def _jump(self, u: np.ndarray) -> np.ndarray:
        return u[self._shell] - u[self._sleeve]

    @cached_property
    def _shell(self) -> np.ndarray:
        return _unknowns(self.pairs.shell)

    @cached_property
    def _sleeve(self) -> np.ndarray:
        return _unknowns(self.pairs.sleeve)

    def _solve(self, nodal: np.ndarray) -> np.ndarray:
        number, factor = self._factor
        unknowns = factor.matrix.shape[0]
        rhs = np.zeros((unknowns, *nodal.shape[1:]))
        free = number < unknowns
        rhs[number[free]] = nodal[free]  # no pair is tied, so no two loads meet in one equation
        u = np.zeros_like(nodal)
        u[free] = factor.solve(rhs)[number[free]]
        return u

    @cached_property
    def _factor(self) -> tuple[np.ndarray, Factor]:
        """Equation number of every unknown, and the factorised stiffness of both bodies, one after the
        other.

        Each body is pinned axially at the middle pair. Where forces and loads on a body balance, as they do
        in every state of equilibrium, the pins carry nothing.
        """
        mesh, size = self.model.mesh, self.model.size
        fixed = np.zeros(size, dtype=bool)
        fixed[TH::COMPONENTS] = True
        fixed[axial_pins(self.pairs, tied_axially=False)] = True
        of_shell = np.isin(np.arange(mesh.nodes.shape[1]), self.model.mesh.body_nodes("shell"))
        position = np.empty(len(of_shell), dtype=int)
        position[np.lexsort((*mesh.nodes, of_shell))] = np.arange(len(of_shell))
        number, unknowns = number_unknowns(np.arange(size), fixed, position)
        dofs, local = number[self.model.meridian_dofs], self.model.element_stiffness_meridian
        (K,) = assembled(dofs, unknowns, local)
        return number, factorise(K, ordered=True)


def _net(forces: np.ndarray) -> float:
    """Sum of the forces, zero where it is rounding, as that of thermal forces is."""
    net = float(np.sum(forces))
    return net if abs(net) > ROUNDING * float(np.sum(np.abs(forces))) else 0.0


def _unknowns(nodes: np.ndarray) -> np.ndarray:
    """Radial unknowns of the nodes, then their axial ones."""
    return np.concatenate([COMPONENTS * nodes + R, COMPONENTS * nodes + Z])
