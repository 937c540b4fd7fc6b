"""K(n) of shell and sleeve joined where they touch: numbered, assembled and factorised once per n."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from fem.harmonic_rigid import free_modes, grips
from fem.interface import Interface
from fem.linear import Factor, factorise
from fem.ordering import elimination_places
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
    def _places(self) -> np.ndarray:
        """Place of every node in the elimination, both nodes of a closed pair taken as one."""
        node = np.arange(self.model.size // COMPONENTS)
        node[self.pairs.shell[self.closed]] = self.pairs.sleeve[self.closed]
        return elimination_places(node[self.model.mesh.connectivity.T], len(node))[node]

    @cached_property
    def _numbered(self) -> tuple[np.ndarray, int]:
        """Reduced number of every unknown, in a good order of elimination, and how many there are; that
        many again means held."""
        master = np.arange(self.model.size)
        master[self.joined[:, 0]] = self.joined[:, 1]
        kept = np.zeros(self.model.size, dtype=bool)
        kept[master] = True
        held = np.zeros(self.model.size, dtype=bool)
        held[master[self.held]] = True
        kept &= ~held
        by_place = (COMPONENTS * np.argsort(self._places, kind="stable")[:, None]
                    + np.arange(COMPONENTS)).ravel()
        ordered = by_place[kept[by_place]]
        number = np.full(self.model.size, len(ordered))
        number[ordered] = np.arange(len(ordered))
        return number[master], len(ordered)

    @cached_property
    def _stiffness(self) -> HarmonicStiffness:
        number, count = self._numbered
        return HarmonicStiffness.assemble(number[self.model.dofs], count, *self.model.element_stiffness)

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
            self._factors[n] = factorise(K, ordered=True)
        return self._factors[n]

    def solve(self, n: int, force: np.ndarray, jump: np.ndarray | None = None) -> np.ndarray:
        """Displacement (unknowns, columns) under forces of that shape; jump: shell minus sleeve at the
        joined unknowns, same shape, zero elsewhere. Raises SolveError if the answer does not fit."""
        number, count = self._numbered
        if jump is not None:
            force = force - self._shell_force(n, jump)
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
        reaction = (self._shell_force(n, u) - force)[unknowns].reshape(len(self.closed), COMPONENTS, -1)
        acts = np.zeros(COMPONENTS)
        acts[list(self.tied)] = 1.0
        return reaction * (self.closed / self.pairs.weight)[:, None, None] * acts[:, None]

    @cached_property
    def _bore_elements(self) -> np.ndarray:
        """Elements of the shell with a node on the interface."""
        return np.flatnonzero(np.isin(self.model.mesh.connectivity, self.pairs.shell).any(axis=0))

    @cached_property
    def _bore_gather(self) -> csr_matrix:
        dofs = self.model.dofs[self._bore_elements].ravel()
        return csr_matrix((np.ones(len(dofs)), (dofs, np.arange(len(dofs)))),
                          shape=(self.model.size, len(dofs)))

    def _shell_force(self, n: int, u: np.ndarray) -> np.ndarray:
        """K(n) u of the shell's elements along its bore, (unknowns, columns); whole at the bore's nodes."""
        K0, K1, K2 = (k[self._bore_elements] for k in self.model.element_stiffness)
        local = (K0 + n * K1 + n * n * K2) @ u[self.model.dofs[self._bore_elements]]
        return self._bore_gather @ local.reshape(-1, u.shape[1])
