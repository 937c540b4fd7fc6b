"""The system K(n) u = F of shell and sleeve tied at closed pairs, factorised once per harmonic."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from hoopwright.fem.banded import BandPattern
from hoopwright.fem.interface import Interface
from hoopwright.fem.linear_solver import Factor, factorise
from hoopwright.fem.numbering import elimination_order, masters, number_unknowns
from hoopwright.fem.rigid_modes import free_modes, pinned_unknowns
from hoopwright.fem.shell_force import ShellForce
from hoopwright.fem.stiffness import HarmonicStiffness, Model
from hoopwright.fem.strain import COMPONENTS


@dataclass
class HarmonicSystem:
    """Assembles, factorises and solves K(n) of one model with the closed pairs tied.

    closed: (pairs,) bool, pairs in contact. tied: displacement components tied at closed pairs. fixed:
    unknowns fixed at zero.
    """

    model: Model
    pairs: Interface
    closed: np.ndarray
    tied: tuple[int, ...]
    fixed: np.ndarray
    _factors: dict[int, Factor] = field(default_factory=dict)
    _modes: dict[int, np.ndarray] = field(default_factory=dict)

    @cached_property
    def joined(self) -> np.ndarray:
        """Pairs of tied unknowns (shell, sleeve), (ties, 2)."""
        shell, sleeve = self.pairs.shell[self.closed], self.pairs.sleeve[self.closed]
        return np.concatenate(
            [np.stack([COMPONENTS * shell + c, COMPONENTS * sleeve + c], axis=1) for c in self.tied]
        )

    @cached_property
    def _numbering(self) -> tuple[np.ndarray, int]:
        """Equation number of every unknown, and the number of equations, which marks a fixed unknown."""
        fixed = np.zeros(self.model.size, dtype=bool)
        fixed[self.fixed] = True
        master = masters(self.model.size, self.pairs, dict.fromkeys(self.tied, self.closed))
        return number_unknowns(master, fixed, elimination_order(self.model.mesh, self.pairs, self.closed))

    @cached_property
    def _stiffness(self) -> HarmonicStiffness:
        number, count = self._numbering
        return HarmonicStiffness.assemble(number[self.model.dofs], count, *self.model.element_stiffness)

    @cached_property
    def _band(self) -> BandPattern:
        return BandPattern.from_matrix(self._stiffness.K0)

    def free_modes(self, n: int) -> np.ndarray:
        """Unrestrained rigid-body modes of harmonic n, (modes, unknowns)."""
        if n not in self._modes:
            self._modes[n] = free_modes(self.model.mesh, n, fixed=self.fixed, tied=self.joined)
        return self._modes[n]

    def _factor(self, n: int) -> Factor:
        """Factor of K(n) with a spring to ground on one unknown per free mode.

        Balanced loads leave the springs unloaded, so the solution is exact; its rigid-body component is
        arbitrary and does not affect stress.
        """
        if n not in self._factors:
            number, _ = self._numbering
            K = self._stiffness.at(n)
            for equation in number[pinned_unknowns(self.free_modes(n))]:
                row = slice(K.indptr[equation], K.indptr[equation + 1])
                diagonal = K.indptr[equation] + np.searchsorted(K.indices[row], equation)
                K.data[diagonal] *= 2.0
            self._factors[n] = factorise(K, ordered=True, band=self._band)
        return self._factors[n]

    def solve(self, n: int, force: np.ndarray, jump: np.ndarray | None = None) -> np.ndarray:
        """Displacement (unknowns, columns), mm, under nodal forces of the same shape, N per radian.

        jump: prescribed displacement of the shell relative to the sleeve at the tied unknowns, mm, same
        shape, zero elsewhere. Raises SolveError if the residual exceeds its tolerance.
        """
        number, count = self._numbering
        if jump is not None:
            force = force - self._shell.at(n, jump)
        rhs = np.zeros((count + 1, force.shape[1]))
        np.add.at(rhs, number, force)
        reduced = np.zeros_like(rhs)
        loaded = np.any(rhs[:count] != 0.0, axis=0)
        if loaded.any():
            reduced[:count, loaded] = self._factor(n).solve(rhs[:count, loaded])
        u = reduced[number]
        return u if jump is None else u + jump

    def traction(self, n: int, u: np.ndarray, force: np.ndarray) -> np.ndarray:
        """Traction of the sleeve on the shell at every pair, (pairs, 3, columns), MPa along +r, +θ, +z.

        The radial component is the contact pressure, compression positive. Zero at open pairs.
        """
        unknowns = (COMPONENTS * self.pairs.shell[:, None] + np.arange(COMPONENTS)).ravel()
        reaction = (self._shell.at(n, u) - force)[unknowns].reshape(len(self.closed), COMPONENTS, -1)
        tied = np.zeros(COMPONENTS)
        tied[list(self.tied)] = 1.0
        return reaction * (self.closed / self.pairs.weight)[:, None, None] * tied[:, None]

    @cached_property
    def _shell(self) -> ShellForce:
        return ShellForce(self.model, self.pairs)
