"""Small-strain elastoplasticity: von Mises yield, associated flow, linear isotropic hardening.

    trial:   s* = 2G e*,  q* = √(3/2) |s*|,   f = q* − (σ_y + H α)
    return:  Δγ = f/(3G + H) where f > 0,   s = (1 − 3G Δγ/q*) s*,   α += Δγ
    tangent: D = K 1⊗1 + 2G (1 − 3G Δγ/q*) I_dev + 6G² (Δγ/q* − 1/(3G + H)) N⊗N,   N = s*/|s*|

The tangent is consistent with the return mapping (not the rate form), so that Newton's method converges
quadratically.
Source: Simo & Taylor, Comput. Methods Appl. Mech. Eng. 48 (1985), in the form of de Souza Neto, Perić
and Owen, Computational Methods for Plasticity, 2008 (both from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from hoopwright.fem.elastic import Elastic
from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import R, Z

NORMAL = np.array([1.0, 1.0, 1.0, 0.0])  # order rr, θθ, zz, rz; engineering shear strain
DEVIATOR = np.diag([1.0, 1.0, 1.0, 0.5]) - np.outer(NORMAL, NORMAL) / 3.0
TWICE_SHEAR = np.array([1.0, 1.0, 1.0, 2.0])  # weight of the shear term in |s|²
# A trial stress above yield by less than this fraction of it counts as on the yield surface, so that metal
# about to unload responds elastically from the first iteration.
ON_THE_SURFACE = 1e-9


@dataclass(frozen=True)
class Yield:
    """Yield stress and hardening of one body.

    yield_stress: MPa, > 0, or inf where the body stays elastic; hardening: H, MPa of yield stress per unit
    of equivalent plastic strain, >= 0.
    """

    yield_stress: float
    hardening: float = 0.0

    def __post_init__(self) -> None:
        if not self.yield_stress > 0.0:
            raise ValueError(f"need a yield stress above 0, got {self.yield_stress} MPa")
        if not 0.0 <= self.hardening < np.inf:
            raise ValueError(f"need hardening >= 0, got {self.hardening} MPa")


@dataclass(frozen=True)
class History:
    """Internal variables at the Gauss points.

    strain: plastic strain, (elements, points, 4), engineering shear; equivalent: accumulated equivalent
    plastic strain, (elements, points).
    """

    strain: np.ndarray
    equivalent: np.ndarray


@dataclass(frozen=True)
class MaterialResponse:
    """Result of the stress update at the Gauss points.

    stress: (elements, points, 4), MPa; tangent: consistent tangent, (elements, points, 4, 4), MPa;
    history: internal variables after the step.
    """

    stress: np.ndarray
    tangent: np.ndarray
    history: History


class PlasticBody:
    """Internal force and tangent stiffness of bodies that may yield, n = 0. limits: by body name."""

    def __init__(self, model: Model, limits: Mapping[str, Yield]) -> None:
        self.model = model
        elements = model.mesh.connectivity.shape[1]
        G, K, Y, H = (np.empty((elements, 1)) for _ in range(4))
        for name, body in model.mesh.bodies.items():
            G[body.elements], K[body.elements] = _moduli(model.materials[name])
            Y[body.elements] = limits[name].yield_stress
            H[body.elements] = limits[name].hardening
        self.shear, self.bulk, self.yield_stress, self.hardening = G, K, Y, H

    @cached_property
    def virgin(self) -> History:
        """Internal variables of metal that has never yielded."""
        shape = self.model.strain.r.shape
        return History(np.zeros((*shape, 4)), np.zeros(shape))

    @cached_property
    def _operator(self) -> np.ndarray:
        """Strain-displacement matrix of u_r and u_z, (elements, points, 4, 18), 1/mm."""
        full = self.model.strain.constant
        in_plane = np.flatnonzero(np.isin(np.arange(full.shape[-1]) % 3, (R, Z)))
        return np.ascontiguousarray(full[:, :, :4][..., in_plane])

    @cached_property
    def _dofs(self) -> np.ndarray:
        in_plane = np.flatnonzero(np.isin(np.arange(self.model.dofs.shape[1]) % 3, (R, Z)))
        return self.model.dofs[:, in_plane]

    @cached_property
    def _measure(self) -> np.ndarray:
        s = self.model.strain
        return s.weight * s.r

    @cached_property
    def _pattern(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """CSR pattern: position of each element-matrix entry in the data, column indices, row starts."""
        dofs, size = self._dofs, self.model.size
        rows, columns = np.repeat(dofs, dofs.shape[1], axis=1), np.tile(dofs, (1, dofs.shape[1]))
        keys, place = np.unique(rows.ravel().astype(np.int64) * size + columns.ravel(), return_inverse=True)
        starts = np.searchsorted(keys, np.arange(size + 1, dtype=np.int64) * size)
        return place, (keys % size).astype(np.int32), starts.astype(np.int32)

    def stress_update(self, displacement: np.ndarray, before: History) -> MaterialResponse:
        """Stress update for a displacement (size,), mm, from the internal variables `before`."""
        strain = np.einsum("epik,ek->epi", self._operator, displacement[self._dofs], optimize=True)
        return self.return_map(strain, before)

    def return_map(self, strain: np.ndarray, before: History) -> MaterialResponse:
        """Radial return mapping of a total strain (elements, points, 4) from the variables `before`."""
        G, K, Y, H = self.shear, self.bulk, self.yield_stress, self.hardening
        elastic = strain - before.strain
        volume = elastic[..., :3].sum(axis=-1)
        trial = 2.0 * G[..., None] * (elastic @ DEVIATOR)
        length = np.sqrt(np.sum(TWICE_SHEAR * trial**2, axis=-1))
        q = np.sqrt(1.5) * length
        over = q - (Y + H * before.equivalent)
        yields = over > ON_THE_SURFACE * np.where(np.isfinite(Y), Y, 0.0)
        flow = np.where(yields, over, 0.0) / (3.0 * G + H)
        safe = np.where(q > 0.0, q, 1.0)
        left = 1.0 - 3.0 * G * flow / safe
        stress = left[..., None] * trial + (K * volume)[..., None] * NORMAL
        direction = trial / np.where(length > 0.0, length, 1.0)[..., None]
        slope = np.where(yields, 6.0 * G**2 * (flow / safe - 1.0 / (3.0 * G + H)), 0.0)
        tangent = (
            K[..., None, None] * np.outer(NORMAL, NORMAL)
            + (2.0 * G * left)[..., None, None] * DEVIATOR
            + slope[..., None, None] * direction[..., :, None] * direction[..., None, :]
        )
        grown = np.sqrt(1.5) * flow[..., None] * direction * TWICE_SHEAR
        return MaterialResponse(stress, tangent, History(before.strain + grown, before.equivalent + flow))

    def force(self, stress: np.ndarray) -> np.ndarray:
        """Internal force ∫ Bᵀ σ r dr dz, (size,), N per radian."""
        return self._assembled(self._local(stress))

    def force_scale(self, stress: np.ndarray) -> float:
        """Norm of the internal force with absolute values summed over elements, N per radian.

        It is the scale for the residual in a body that is stressed but carries no external load.
        """
        return float(np.linalg.norm(self._assembled(np.abs(self._local(stress)))))

    @cached_property
    def rounding_force(self) -> float:
        """Force scale of a strain of 1e-12, N per radian; smaller residuals are rounding."""
        shape = self.model.strain.r.shape
        return self.force_scale(1e-12 * np.broadcast_to(self.bulk[..., None] * NORMAL, (*shape, 4)))

    def _local(self, stress: np.ndarray) -> np.ndarray:
        return np.einsum("epik,epi,ep->ek", self._operator, stress, self._measure, optimize=True)

    def _assembled(self, local: np.ndarray) -> np.ndarray:
        return np.bincount(self._dofs.ravel(), local.ravel(), minlength=self.model.size)

    def stiffness(self, tangent: np.ndarray) -> csr_matrix:
        """Tangent stiffness ∫ Bᵀ D B r dr dz, (size, size); rows and columns of u_θ are empty."""
        scaled = tangent * self._measure[..., None, None]
        stress = scaled @ self._operator
        elements, points, _, count = self._operator.shape
        flat = self._operator.reshape(elements, points * 4, count)
        local = flat.mT @ stress.reshape(elements, points * 4, count)
        place, indices, starts = self._pattern
        data = np.bincount(place, local.ravel(), minlength=len(indices))
        return csr_matrix((data, indices, starts), shape=(self.model.size, self.model.size))


def _moduli(material: Elastic) -> tuple[float, float]:
    """Shear and bulk modulus, MPa."""
    E, nu = material.young_modulus, material.poisson_ratio
    return E / (2.0 * (1.0 + nu)), E / (3.0 * (1.0 - 2.0 * nu))
