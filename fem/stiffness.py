"""Stiffness matrices and thermal loads of all bodies, for every harmonic, on one sparsity pattern.

    a(u, v) = ∫ σ(u) : ε(v) r dr dz,   K(n) = K0 + n K1 + n² K2

The factor from integrating cos² or sin² over θ (2π for n = 0, π otherwise) is left out on both sides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.elastic import Elastic
from hoopwright.fem.errors import MeshError
from hoopwright.fem.mesh import Mesh
from hoopwright.fem.strain import COMPONENTS, TH, StrainOperator, element_dofs, strain_operator

# Of the 27 unknowns of an element those in the meridian plane, u_r and u_z, and those round it, u_θ.
MERIDIAN, CIRCUMFERENTIAL = (
    np.flatnonzero(which) for which in (np.arange(27) % COMPONENTS != TH, np.arange(27) % COMPONENTS == TH)
)


@dataclass(frozen=True)
class Model:
    """A mesh with the material of each body, by body name."""

    mesh: Mesh
    materials: Mapping[str, Elastic]

    def __post_init__(self) -> None:
        if set(self.materials) != set(self.mesh.bodies):
            raise MeshError(f"materials for {sorted(self.materials)}, bodies {sorted(self.mesh.bodies)}")

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
    def element_stiffness_harmonic_zero(self) -> np.ndarray:
        """K0 of every element, (elements, 27, 27), which is all an axisymmetric fit needs."""
        part = self._parts
        K0 = np.zeros((len(self.dofs), *2 * (self.dofs.shape[1],)))
        K0[:, MERIDIAN[:, None], MERIDIAN] = _gather(part.plane, part.plane_stress)
        K0[:, CIRCUMFERENTIAL[:, None], CIRCUMFERENTIAL] = _gather(part.twist, part.twist_stress)
        return K0

    @cached_property
    def element_stiffness(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """K0, K1 and K2 of every element, (elements, 27, 27) each."""
        part = self._parts
        K1, K2 = np.zeros((2, *self.element_stiffness_harmonic_zero.shape))
        mixed = _gather(part.plane[:, :, :3], part.hoop_stress) + _gather(part.shear_stress, part.twist)
        K1[:, MERIDIAN[:, None], CIRCUMFERENTIAL] = mixed
        K1[:, CIRCUMFERENTIAL[:, None], MERIDIAN] = mixed.mT
        K2[:, MERIDIAN[:, None], MERIDIAN] = _gather(part.shear, part.shear_stress)
        K2[:, CIRCUMFERENTIAL[:, None], CIRCUMFERENTIAL] = _gather(part.hoop, part.hoop_stress)
        return self.element_stiffness_harmonic_zero, K1, K2

    @cached_property
    def _parts(self) -> _Parts:
        s, D = self.strain, self.elasticity[:, None]
        scale = (s.weight * s.r)[..., None, None]
        constant, per_n = (b.reshape(*b.shape[:3], -1, COMPONENTS) for b in (s.constant, s.per_n))
        in_plane = *s.r.shape, -1, len(MERIDIAN)
        plane, twist = constant[:, :, :4, :, ::2].reshape(in_plane), constant[:, :, 4:, :, TH]
        shear, hoop = per_n[:, :, 4:, :, ::2].reshape(in_plane), per_n[:, :, :3, :, TH]
        return _Parts(
            plane,
            twist,
            hoop,
            shear,
            D[..., :4, :4] @ plane * scale,
            D[..., 4:, 4:] @ twist * scale,
            D[..., :3, :3] @ hoop * scale,
            D[..., 4:, 4:] @ shear * scale,
        )

    @cached_property
    def stiffness(self) -> HarmonicStiffness:
        """K0, K1 and K2 of the bodies, not tied to each other."""
        return HarmonicStiffness.assemble(self.dofs, self.size, *self.element_stiffness)

    def thermal_load(self, temperature_rise: float | Callable) -> np.ndarray:
        """Nodal load f(v) = ∫ ε(v) : D α ΔT r dr dz of thermal expansion for n = 0, (size,), N per radian.

        temperature_rise: K above the reference, a number or a function of (r, z) in mm.
        """
        if not callable(temperature_rise):
            return temperature_rise * self._load_per_kelvin
        return self._thermal_load(temperature_rise(self.strain.r, self.strain.z))

    @cached_property
    def _load_per_kelvin(self) -> np.ndarray:
        return self._thermal_load(np.ones_like(self.strain.r))

    def _thermal_load(self, rise: np.ndarray) -> np.ndarray:
        """Thermal load of a rise in K at the Gauss points, (elements, points)."""
        s = self.strain
        free = np.empty((len(self.dofs), 6))
        for name, body in self.mesh.bodies.items():
            free[body.elements] = self.materials[name].thermal_strain()
        stress = np.einsum("eij,ej->ei", self.elasticity, free)
        acting = stress[:, None] * (s.weight * s.r * rise)[..., None]
        rows = acting.reshape(len(acting), 1, -1)
        local = rows @ s.constant.reshape(len(acting), rows.shape[-1], -1)
        return np.bincount(self.dofs.ravel(), local.ravel(), minlength=self.size)


@dataclass(frozen=True)
class _Parts:
    """The strain operator without what is always zero, and its stress times r dr dz, (elements, points,
    strains, unknowns). Of u_r and u_z: plane at n = 0 (rr, θθ, zz, rz) and shear per n (rθ, θz); of u_θ:
    twist at n = 0 (rθ, θz) and hoop per n (rr, θθ, zz: B-bar spreads it)."""

    plane: np.ndarray
    twist: np.ndarray
    hoop: np.ndarray
    shear: np.ndarray
    plane_stress: np.ndarray
    twist_stress: np.ndarray
    hoop_stress: np.ndarray
    shear_stress: np.ndarray


def _gather(test: np.ndarray, stress: np.ndarray) -> np.ndarray:
    """Sum over points of testᵀ stress, (elements, 27, 27)."""
    elements = len(test)
    return test.reshape(elements, -1, test.shape[-1]).mT @ stress.reshape(elements, -1, stress.shape[-1])


@dataclass(frozen=True)
class HarmonicStiffness:
    """K0, K1 and K2 of K(n) = K0 + n K1 + n² K2, symmetric and on one sparsity pattern."""

    K0: csr_matrix
    K1: csr_matrix
    K2: csr_matrix

    def at(self, n: int) -> csr_matrix:
        """K(n), (size, size)."""
        data = self.K0.data + n * (self.K1.data + n * self.K2.data)
        return csr_matrix((data, self.K0.indices, self.K0.indptr), shape=self.K0.shape)

    @classmethod
    def assemble(cls, dofs: np.ndarray, size: int, *local: np.ndarray) -> HarmonicStiffness:
        """Assemble element matrices of K0, K1 and K2 (elements, 27, 27); dofs: see `assembled`.

        K1 couples u_θ with u_r and u_z, where K0 and K2 have nothing: one complex matrix holds all three.
        """
        K0, K1, K2 = local
        (whole,) = assembled(dofs, size, (K0 + K1) + 1j * K2)
        circumferential = np.zeros(size + 1, dtype=bool)
        circumferential[dofs[:, CIRCUMFERENTIAL]] = True
        mixed = np.repeat(circumferential[:size], np.diff(whole.indptr)) != circumferential[whole.indices]
        real, pattern = whole.data.real, (whole.indices, whole.indptr)
        return cls(
            *(
                csr_matrix((data, *pattern), shape=whole.shape)
                for data in (
                    np.where(mixed, 0.0, real),
                    np.where(mixed, real, 0.0),
                    np.ascontiguousarray(whole.data.imag),
                )
            )
        )


def assembled(dofs: np.ndarray, size: int, *local: np.ndarray) -> list[csr_matrix]:
    """Assemble element matrices (elements, k, k) into global ones (size, size) on a common pattern.

    dofs: equation numbers, (elements, k); entries equal to `size` mark fixed unknowns and are skipped.
    """
    dofs = dofs.astype(np.int32)
    rows = np.repeat(dofs, dofs.shape[1], axis=1).ravel()
    columns = np.tile(dofs, (1, dofs.shape[1])).ravel()
    free = slice(None) if dofs.max() < size else (rows < size) & (columns < size)
    index = rows[free], columns[free]
    return [csr_matrix((k.ravel()[free], index), shape=(size, size)) for k in local]
