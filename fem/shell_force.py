"""What the shell's own stiffness does at its bore: the force that holds a displacement there."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from fem.interface import Interface
from fem.stiffness import Model


class ShellForce:
    """K(n) u of the shell's elements along the interface, without assembling K(n)."""

    def __init__(self, model: Model, pairs: Interface) -> None:
        self.model = model
        self.elements = np.flatnonzero(np.isin(model.mesh.connectivity, pairs.shell).any(axis=0))

    @cached_property
    def _gather(self) -> csr_matrix:
        dofs = self.model.dofs[self.elements].ravel()
        return csr_matrix((np.ones(len(dofs)), (dofs, np.arange(len(dofs)))),
                          shape=(self.model.size, len(dofs)))

    def at(self, n: int, u: np.ndarray) -> np.ndarray:
        """Nodal force, (unknowns,) or (unknowns, columns) as u; whole at the bore's nodes, N per radian."""
        here = self.elements
        K = self.model.element_stiffness_round[here]
        if n:
            K1, K2 = (k[here] for k in self.model.element_stiffness[1:])
            K = K + n * K1 + n * n * K2
        local = K @ u.reshape(self.model.size, -1)[self.model.dofs[here]]
        return (self._gather @ local.reshape(-1, local.shape[-1])).reshape(u.shape)
