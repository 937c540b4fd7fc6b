"""Nodal forces at the shell's bore that equilibrate a given displacement."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.interface import Interface
from hoopwright.fem.stiffness import Model


class ShellForce:
    """K(n) u of the shell elements along the interface, without assembling K(n)."""

    def __init__(self, model: Model, pairs: Interface) -> None:
        self.model = model
        self.elements = np.flatnonzero(np.isin(model.mesh.connectivity, pairs.shell).any(axis=0))

    def at(self, n: int, u: np.ndarray) -> np.ndarray:
        """Internal force of those elements, N per radian, shaped like u: (unknowns,) or (unknowns, loads).

        It is complete at the nodes of the bore only; other nodes lack the elements behind them.
        """
        K0, K1, K2 = (k[self.elements] for k in self.model.element_stiffness)
        return self._summed(K0 + n * (K1 + n * K2), self.model.dofs, u)

    def in_meridian(self, u: np.ndarray) -> np.ndarray:
        """The same for n = 0 of u_r and u_z alone; those round the axis are zero."""
        return self._summed(
            self.model.element_stiffness_meridian[self.elements], self.model.meridian_dofs, u
        )

    def _summed(self, K: np.ndarray, dofs: np.ndarray, u: np.ndarray) -> np.ndarray:
        dofs = dofs[self.elements]
        local = K @ u.reshape(self.model.size, -1)[dofs]
        shape = (self.model.size, dofs.size)
        gather = csr_matrix((np.ones(dofs.size), (dofs.ravel(), np.arange(dofs.size))), shape=shape)
        return (gather @ local.reshape(-1, local.shape[-1])).reshape(u.shape)
