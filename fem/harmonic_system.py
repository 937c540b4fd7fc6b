"""K(n) of shell and sleeve joined where they touch: numbered, assembled and factorised once per n."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from fem.banded import Band
from fem.harmonic_rigid import free_modes, grips
from fem.interface import Interface
from fem.linear import Factor, factorise
from fem.numbering import elimination_places, masters, numbered
from fem.shell_force import ShellForce
from fem.stiffness import HarmonicStiffness, Model
from fem.strain import COMPONENTS


@dataclass
class HarmonicSystem:
    """closed: (pairs,) bool. tied: displacement components joined at closed pairs. held: unknowns that
    are zero."""

    model: Model
    pairs: Interface
    closed: np.ndarray
    tied: tuple[int, ...]
    held: np.ndarray
    _factors: dict[int, Factor] = field(default_factory=dict)
    _modes: dict[int, np.ndarray] = field(default_factory=dict)

    @cached_property
    def joined(self) -> np.ndarray:
        """Unknowns that move alike, (joined, 2): of the shell, of the sleeve."""
        shell, sleeve = self.pairs.shell[self.closed], self.pairs.sleeve[self.closed]
        return np.concatenate([
            np.stack([COMPONENTS * shell + c, COMPONENTS * sleeve + c], axis=1) for c in self.tied])

    @cached_property
    def _numbered(self) -> tuple[np.ndarray, int]:
        """Reduced number of every unknown, and how many there are; that many again means held."""
        zero = np.zeros(self.model.size, dtype=bool)
        zero[self.held] = True
        master = masters(self.model.size, self.pairs, dict.fromkeys(self.tied, self.closed))
        return numbered(master, zero, elimination_places(self.model.mesh, self.pairs, self.closed))

    @cached_property
    def _stiffness(self) -> HarmonicStiffness:
        number, count = self._numbered
        return HarmonicStiffness.assemble(number[self.model.dofs], count, *self.model.element_stiffness)

    @cached_property
    def _band(self) -> Band:
        return Band.of(self._stiffness.K0)

    def free_modes(self, n: int) -> np.ndarray:
        """Rigid motions of harmonic n that nothing prevents, (modes, unknowns)."""
        if n not in self._modes:
            self._modes[n] = free_modes(self.model.mesh, n, held=self.held, tied=self.joined)
        return self._modes[n]

    def _factor(self, n: int) -> Factor:
        """Factor of K(n) with a spring on one unknown per free mode. Loads in balance stretch no spring,
        so the answer is exact; which of the rigid positions it picks is of no account."""
        if n not in self._factors:
            number, _ = self._numbered
            K = self._stiffness.at(n)
            for place in number[grips(self.free_modes(n))]:
                row = slice(K.indptr[place], K.indptr[place + 1])
                diagonal = K.indptr[place] + np.searchsorted(K.indices[row], place)
                K.data[diagonal] *= 2.0
            self._factors[n] = factorise(K, ordered=True, band=self._band)
        return self._factors[n]

    def solve(self, n: int, force: np.ndarray, jump: np.ndarray | None = None) -> np.ndarray:
        """Displacement (unknowns, columns) under forces of that shape; jump: shell minus sleeve at the
        joined unknowns, same shape, zero elsewhere. Raises SolveError if the answer does not fit."""
        number, count = self._numbered
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
        """What the sleeve does to the shell at every pair, (pairs, 3, columns), MPa along +r, +θ, +z; a
        radial push is a contact pressure, compression positive. Zero where open."""
        unknowns = (COMPONENTS * self.pairs.shell[:, None] + np.arange(COMPONENTS)).ravel()
        reaction = (self._shell.at(n, u) - force)[unknowns].reshape(len(self.closed), COMPONENTS, -1)
        acts = np.zeros(COMPONENTS)
        acts[list(self.tied)] = 1.0
        return reaction * (self.closed / self.pairs.weight)[:, None, None] * acts[:, None]

    @cached_property
    def _shell(self) -> ShellForce:
        return ShellForce(self.model, self.pairs)
