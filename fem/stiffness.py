"""Stiffness and loads of all bodies, for every harmonic, on one sparsity pattern.

    a(u, v) = ∫ σ(u) : ε(v) r dr dz,   K(n) = K0 + n K1 + n² K2

The factor from integrating cos² or sin² over θ (2π for n = 0, π otherwise) is left out on both sides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from fem.elastic import Elastic
from fem.errors import MeshError
from fem.mesh import Mesh
from fem.strain import StrainOperator, element_dofs, strain_operator


@dataclass(frozen=True)
class Model:
    """A mesh with the material of each body, by body name."""

    mesh: Mesh
    materials: Mapping[str, Elastic]

    def __post_init__(self) -> None:
        if set(self.materials) != set(self.mesh.bodies):
            raise MeshError(f"materials for {sorted(self.materials)}, "
                            f"bodies {sorted(self.mesh.bodies)}")

    @cached_property
    def strain(self) -> StrainOperator:
        return strain_operator(self.mesh)

    @cached_property
    def dofs(self) -> np.ndarray:
        return element_dofs(self.mesh)

    @property
    def size(self) -> int:
        """Number of unknowns, three per node."""
        return 3 * self.mesh.nodes.shape[1]

    @cached_property
    def elasticity(self) -> np.ndarray:
        """D per element, (elements, 6, 6), MPa."""
        D = np.empty((self.mesh.connectivity.shape[1], 6, 6))
        for name, body in self.mesh.bodies.items():
            D[body.elements] = self.materials[name].matrix()
        return D

    @cached_property
    def element_stiffness_round(self) -> np.ndarray:
        """K0 of every element, (elements, 27, 27): all that a fit needs."""
        s = self.strain
        scale = (s.weight * s.r)[..., None, None]
        return _gather(s.constant, self.elasticity[:, None] @ s.constant * scale)

    @cached_property
    def element_stiffness(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """K0, K1 and K2 of every element, (elements, 27, 27) each."""
        s, D = self.strain, self.elasticity
        scale = (s.weight * s.r)[..., None, None]
        stress1 = D[:, None] @ s.per_n * scale
        K01 = _gather(s.constant, stress1)
        return self.element_stiffness_round, K01 + K01.mT, _gather(s.per_n, stress1)

    @cached_property
    def stiffness(self) -> HarmonicStiffness:
        """K0, K1 and K2 of the unjoined bodies."""
        return HarmonicStiffness.assemble(self.dofs, self.size, *self.element_stiffness)

    def thermal_load(self, temperature_rise: float | Callable) -> np.ndarray:
        """f(v) = ∫ ε(v) : D α ΔT r dr dz for n = 0, (size,).

        temperature_rise: K above the reference, a number or a function of (r, z) in mm.
        """
        s = self.strain
        rise = temperature_rise(s.r, s.z) if callable(temperature_rise) else temperature_rise
        free = np.empty((len(self.dofs), 6))
        for name, body in self.mesh.bodies.items():
            free[body.elements] = self.materials[name].thermal_strain()
        stress = np.einsum("eij,ej->ei", self.elasticity, free)
        scale = s.weight * s.r * rise
        local = np.einsum("epik,ei,ep->ek", s.constant, stress, scale)
        return np.bincount(self.dofs.ravel(), local.ravel(), minlength=self.size)


def _gather(test: np.ndarray, stress: np.ndarray) -> np.ndarray:
    """Sum over points of testᵀ stress, (elements, 27, 27)."""
    elements = len(test)
    return test.reshape(elements, -1, test.shape[-1]).mT @ stress.reshape(
        elements, -1, stress.shape[-1])


@dataclass(frozen=True)
class HarmonicStiffness:
    """Three symmetric matrices that share one pattern."""

    K0: csr_matrix
    K1: csr_matrix
    K2: csr_matrix

    def at(self, n: int) -> csr_matrix:
        """K(n), (size, size)."""
        data = self.K0.data + n * self.K1.data + n * n * self.K2.data
        return csr_matrix((data, self.K0.indices, self.K0.indptr), shape=self.K0.shape)

    @classmethod
    def assemble(cls, dofs: np.ndarray, size: int, *local: np.ndarray) -> HarmonicStiffness:
        """Element matrices of K0, K1 and K2 as global ones; see `assembled`."""
        return cls(*assembled(dofs, size, *local))


def assembled(dofs: np.ndarray, size: int, *local: np.ndarray) -> list[csr_matrix]:
    """Element matrices (elements, k, k) added into global ones (size, size) on a common pattern.

    dofs: (elements, k), numbers below size; those that equal size are left out.
    """
    rows = np.repeat(dofs, dofs.shape[1], axis=1).ravel()
    columns = np.tile(dofs, (1, dofs.shape[1])).ravel()
    kept = slice(None) if dofs.max() < size else (rows < size) & (columns < size)
    index = rows[kept].astype(np.int32), columns[kept].astype(np.int32)
    return [csr_matrix((k.ravel()[kept], index), shape=(size, size)) for k in local]
