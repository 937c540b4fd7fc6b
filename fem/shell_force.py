"""Nodal forces at the shell's bore that equilibrate a given displacement."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.interface import Interface
from hoopwright.fem.stiffness import Model


class ShellForce:
    """K(n) u of the shell elements along the interface, without assembling K(n)."""

    def __init__(self, model: Model, pairs: Interface) -> None:
        self.model = model
        self.elements = np.flatnonzero(np.isin(model.mesh.connectivity, pairs.shell).any(axis=0))

    @cached_property
    def _gather(self) -> csr_matrix:
        dofs = self.model.dofs[self.elements].ravel()
        return csr_matrix(
            (np.ones(len(dofs)), (dofs, np.arange(len(dofs)))), shape=(self.model.size, len(dofs))
        )

    def at(self, n: int, u: np.ndarray) -> np.ndarray:
        """Internal force of those elements, N per radian, shaped like u: (unknowns,) or (unknowns, loads).

        It is complete at the nodes of the bore only; other nodes lack the elements behind them.
        """
        elements = self.elements
        K = self.model.element_stiffness_harmonic_zero[elements]
        if n:
            K1, K2 = (k[elements] for k in self.model.element_stiffness[1:])
            K = K + n * K1 + n * n * K2
        local = K @ u.reshape(self.model.size, -1)[self.model.dofs[elements]]
        return (self._gather @ local.reshape(-1, local.shape[-1])).reshape(u.shape)
