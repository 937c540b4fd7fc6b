"""Stiffness matrices and thermal loads of all bodies, for every harmonic, on one sparsity pattern.

    K(n) = K0 + n K1 + n² K2

The deviatoric part is integrated at 3 × 3 points and the volumetric part at 2 × 2, so that a nearly
incompressible material does not lock. Source: selective reduced integration, Malkus & Hughes, Comput.
Methods Appl. Mech. Eng. 15 (1978), from memory, not seen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.elastic import Elastic
from hoopwright.fem.forms import (
    axial_expansion,
    compose,
    compose_meridian,
    element_products,
    radial_expansion,
)
from hoopwright.fem.mesh import Mesh
from hoopwright.fem.strain import COMPONENTS, TH, R, Z
from hoopwright.fem.validation import check_bodies

# Of the 27 unknowns of an element those in the meridian plane, u_r and u_z, and those round it, u_θ.
MERIDIAN, CIRCUMFERENTIAL = (
    np.flatnonzero(which) for which in (np.arange(27) % COMPONENTS != TH, np.arange(27) % COMPONENTS == TH)
)


@dataclass(frozen=True)
class Model:
    """A mesh with the material of each body, by body name. Raises MeshError unless each has just one."""

    mesh: Mesh
    materials: Mapping[str, Elastic]

    def __post_init__(self) -> None:
        check_bodies("materials", self.materials, self.mesh.bodies)

    @property
    def dofs(self) -> np.ndarray:
        """Unknown numbers of every element, (elements, 27)."""
        return self.mesh.dofs

    @property
    def size(self) -> int:
        """Number of unknowns, three per node."""
        return COMPONENTS * self.mesh.nodes.shape[1]

    @cached_property
    def shear(self) -> np.ndarray:
        """Shear modulus μ of every element, (elements,), MPa."""
        return self._by_element(lambda material: material.shear_modulus)

    @cached_property
    def bulk(self) -> np.ndarray:
        """Bulk modulus of every element, (elements,), MPa."""
        return self._by_element(lambda material: material.bulk_modulus)

    def _by_element(self, value: Callable[[Elastic], float]) -> np.ndarray:
        found = np.empty(self.mesh.connectivity.shape[1])
        for name, body in self.mesh.bodies.items():
            found[body.elements] = value(self.materials[name])
        return found

    @cached_property
    def elasticity(self) -> np.ndarray:
        """D per element, (elements, 6, 6), MPa."""
        D = np.empty((self.mesh.connectivity.shape[1], 6, 6))
        for name, body in self.mesh.bodies.items():
            D[body.elements] = self.materials[name].matrix()
        return D

    @cached_property
    def element_stiffness(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """K0, K1 and K2 of every element, (elements, 27, 27) each."""
        deviator, volume = (compose(*split) for split in self._split())
        K0, K1, K2 = (d + v for d, v in zip(deviator, volume, strict=True))
        return K0, K1, K2

    @cached_property
    def element_stiffness_meridian(self) -> np.ndarray:
        """K0 of every element for u_r and u_z, (elements, 18, 18), which is all an axisymmetric fit
        needs."""
        deviator, volume = (compose_meridian(*split) for split in self._split())
        return deviator + volume

    def _split(self) -> tuple[tuple[Mapping[str, np.ndarray], np.ndarray, np.ndarray], ...]:
        """Products and moduli of the deviator at 3 × 3 points and of the volume at 2 × 2."""
        deviator = element_products(self.mesh.gauss_3x3), -2.0 / 3.0 * self.shear, self.shear
        volume = element_products(self.mesh.gauss_2x2), self.bulk, np.zeros_like(self.bulk)
        return deviator, volume

    @property
    def meridian_dofs(self) -> np.ndarray:
        """Unknown numbers u_r and u_z of every element, (elements, 18)."""
        return self.dofs[:, MERIDIAN]

    @cached_property
    def stiffness(self) -> HarmonicStiffness:
        """K0, K1 and K2 of the bodies, not tied to each other."""
        return HarmonicStiffness.assemble(self.dofs, self.size, *self.element_stiffness)

    def thermal_load(self, temperature_rise: float | Callable) -> np.ndarray:
        """Nodal load ∫ tr ε(v) · 3κ α ΔT r dr dz of thermal expansion for n = 0, (size,), N per radian.

        temperature_rise: K above the reference, a number or a function of (r, z) in mm, for which expansion
        is the same all the way.
        """
        if not callable(temperature_rise):
            if not self.expansion_varies:
                return temperature_rise * self._load_per_kelvin
            rise = self._by_element(lambda material: material.effective(temperature_rise))
            return self._thermal_load(rise[:, None] * np.ones_like(self.mesh.gauss_2x2.dx))
        r, z = self.mesh.gauss_2x2.default_parameters()["x"]
        return self._thermal_load(temperature_rise(np.asarray(r), np.asarray(z)))

    @property
    def expansion_varies(self) -> bool:
        """Whether the expansion of a body is another at another temperature."""
        return any(material.effective_rise is not None for material in self.materials.values())

    @cached_property
    def _load_per_kelvin(self) -> np.ndarray:
        return self._thermal_load(np.ones_like(self.mesh.gauss_2x2.dx))

    def _thermal_load(self, rise: np.ndarray) -> np.ndarray:
        """Thermal load of a rise in K at the 2 × 2 points, (elements, points)."""
        expansion = self._by_element(lambda material: material.expansion)
        isotropic = (3.0 * self.bulk * expansion)[:, None] * rise
        load = np.zeros((self.size // COMPONENTS, COMPONENTS))
        load[:, R] = radial_expansion.assemble(self.mesh.gauss_2x2, isotropic=isotropic)
        load[:, Z] = axial_expansion.assemble(self.mesh.gauss_2x2, isotropic=isotropic)
        return load.ravel()


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
