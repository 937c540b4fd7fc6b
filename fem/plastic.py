"""Small-strain elastoplasticity: von Mises yield, associated flow, linear isotropic hardening.

    trial:   s* = 2G e*,  q* = √(3/2) |s*|,   f = q* − (σ_y + H α)
    return:  Δγ = f/(3G + H) where f > 0,   s = (1 − 3G Δγ/q*) s*,   α += Δγ
    tangent: D = 2G (1 − 3G Δγ/q*) I_dev + 6G² (Δγ/q* − 1/(3G + H)) N⊗N,   N = s*/|s*|

The tangent is consistent with the return mapping (not the rate form), so that Newton's method converges
quadratically. Yielding is of the deviator alone, at the 3 × 3 points; the volume responds elastically, at
the 2 × 2 points, as in the elastic body.
Source: Simo & Taylor, Comput. Methods Appl. Mech. Eng. 48 (1985), in the form of de Souza Neto, Perić
and Owen, Computational Methods for Plasticity, 2008 (both from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix
from skfem import ElementQuad1

from hoopwright.fem.stiffness import MERIDIAN, Model
from hoopwright.fem.strain import StrainOperator
from hoopwright.fem.validation import check_bodies

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
    """Result of the stress update.

    deviator: deviatoric stress at the 3 × 3 points, (elements, points, 4), MPa; tangent: its consistent
    tangent, (elements, points, 4, 4), MPa; history: internal variables after the step. volume: mean stress
    at the 2 × 2 points, (elements, points), MPa.
    """

    deviator: np.ndarray
    tangent: np.ndarray
    history: History
    volume: np.ndarray


class PlasticBody:
    """Internal force and tangent stiffness of bodies that may yield, n = 0.

    limits: by body name; MeshError unless every body has one and there is no other.
    """

    def __init__(self, model: Model, limits: Mapping[str, Yield]) -> None:
        check_bodies("yield limits", limits, model.mesh.bodies)
        self.model = model
        elements = model.mesh.connectivity.shape[1]
        Y, H = np.empty((elements, 1)), np.empty((elements, 1))
        for name, body in model.mesh.bodies.items():
            Y[body.elements] = limits[name].yield_stress
            H[body.elements] = limits[name].hardening
        self.shear, self.bulk = model.shear[:, None], model.bulk[:, None]
        self.yield_stress, self.hardening = Y, H

    @cached_property
    def points(self) -> StrainOperator:
        """Strain operator at the 3 × 3 points, where metal yields."""
        return StrainOperator(self.model.mesh.gauss_3x3)

    @cached_property
    def virgin(self) -> History:
        """Internal variables of metal that has never yielded."""
        shape = self.points.r.shape
        return History(np.zeros((*shape, 4)), np.zeros(shape))

    @cached_property
    def _operator(self) -> np.ndarray:
        """Strain-displacement matrix of u_r and u_z, (elements, points, 4, 18), 1/mm."""
        return np.ascontiguousarray(self.points.constant[:, :, :4][..., MERIDIAN])

    @cached_property
    def _dilatation(self) -> np.ndarray:
        """Matrix of tr ε at the 2 × 2 points, (elements, points, 18), 1/mm."""
        operator = StrainOperator(self.model.mesh.gauss_2x2).constant
        return np.ascontiguousarray(operator[:, :, :3].sum(axis=2)[..., MERIDIAN])

    @cached_property
    def _dofs(self) -> np.ndarray:
        return self.model.dofs[:, MERIDIAN]

    @cached_property
    def _measure(self) -> np.ndarray:
        """r dr dz at the 3 × 3 points, (elements, points), mm³ per radian."""
        return self.points.weight * self.points.r

    @cached_property
    def _volume_measure(self) -> np.ndarray:
        """r dr dz at the 2 × 2 points, (elements, points), mm³ per radian."""
        basis = self.model.mesh.gauss_2x2
        return basis.dx * np.asarray(basis.default_parameters()["x"][0])

    @cached_property
    def _volume_stiffness(self) -> np.ndarray:
        """Stiffness of the volume, which never yields, (elements, 18, 18), N/mm per radian."""
        scaled = self._dilatation * (self.bulk * self._volume_measure)[..., None]
        return scaled.mT @ self._dilatation

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
        local = displacement[self._dofs]
        strain = np.einsum("epik,ek->epi", self._operator, local, optimize=True)
        volume = self.bulk * np.einsum("epk,ek->ep", self._dilatation, local, optimize=True)
        return MaterialResponse(*self.return_map(strain, before), volume)

    def return_map(self, strain: np.ndarray, before: History) -> tuple[np.ndarray, np.ndarray, History]:
        """Radial return mapping of a total strain (elements, points, 4) from the variables `before`.

        Returns the deviator, its tangent and the variables after the step, as in MaterialResponse.
        """
        G, Y, H = self.shear, self.yield_stress, self.hardening
        trial = 2.0 * G[..., None] * ((strain - before.strain) @ DEVIATOR)
        length = np.sqrt(np.sum(TWICE_SHEAR * trial**2, axis=-1))
        q = np.sqrt(1.5) * length
        over = q - (Y + H * before.equivalent)
        yields = over > ON_THE_SURFACE * np.where(np.isfinite(Y), Y, 0.0)
        flow = np.where(yields, over, 0.0) / (3.0 * G + H)
        safe = np.where(q > 0.0, q, 1.0)
        left = 1.0 - 3.0 * G * flow / safe
        direction = trial / np.where(length > 0.0, length, 1.0)[..., None]
        slope = np.where(yields, 6.0 * G**2 * (flow / safe - 1.0 / (3.0 * G + H)), 0.0)
        tangent = (2.0 * G * left)[..., None, None] * DEVIATOR + slope[..., None, None] * (
            direction[..., :, None] * direction[..., None, :]
        )
        grown = np.sqrt(1.5) * flow[..., None] * direction * TWICE_SHEAR
        history = History(before.strain + grown, before.equivalent + flow)
        return left[..., None] * trial, tangent, history

    def stress(self, response: MaterialResponse) -> np.ndarray:
        """Total stress at the 3 × 3 points, (elements, points, 4), MPa: rr, θθ, zz, rz.

        The mean stress is that of the bilinear field through its values at the 2 × 2 points.
        """
        at_points = response.volume @ self._volume_to_points.T
        return response.deviator + at_points[..., None] * NORMAL

    @cached_property
    def _volume_to_points(self) -> np.ndarray:
        """Bilinear interpolation from the 2 × 2 points of an element to its 3 × 3 points, (9, 4)."""
        ours, theirs = self.model.mesh.gauss_2x2.X, self.model.mesh.gauss_3x3.X
        low, high = ours.min(axis=1, keepdims=True), ours.max(axis=1, keepdims=True)
        square = (theirs - low) / (high - low)
        corners = (0, 1, 3, 2)  # of the unit square, in the order of the points
        return np.stack([ElementQuad1().lbasis(square, k)[0] for k in corners], axis=1)

    def force(self, response: MaterialResponse) -> np.ndarray:
        """Internal force ∫ σ : ε(v) r dr dz, (size,), N per radian."""
        return self._assembled(self._local(response))

    def force_scale(self, response: MaterialResponse) -> float:
        """Norm of the internal force with absolute values summed over elements, N per radian.

        It is the scale for the residual in a body that is stressed but carries no external load.
        """
        return float(np.linalg.norm(self._assembled(np.abs(self._local(response)))))

    @cached_property
    def rounding_force(self) -> float:
        """Force scale of a volume strain of 3e-12, N per radian; smaller residuals are rounding."""
        volume = np.broadcast_to(3e-12 * self.bulk, self._volume_measure.shape)
        local = np.einsum("epk,ep->ek", self._dilatation, volume * self._volume_measure)
        return float(np.linalg.norm(self._assembled(np.abs(local))))

    def _local(self, response: MaterialResponse) -> np.ndarray:
        deviator = np.einsum(
            "epik,epi,ep->ek", self._operator, response.deviator, self._measure, optimize=True
        )
        return deviator + np.einsum("epk,ep->ek", self._dilatation, response.volume * self._volume_measure)

    def _assembled(self, local: np.ndarray) -> np.ndarray:
        return np.bincount(self._dofs.ravel(), local.ravel(), minlength=self.model.size)

    def stiffness(self, tangent: np.ndarray) -> csr_matrix:
        """Tangent stiffness, (size, size); rows and columns of u_θ are empty."""
        scaled = tangent * self._measure[..., None, None]
        deviator = scaled @ self._operator
        elements, points, _, count = self._operator.shape
        flat = self._operator.reshape(elements, points * 4, count)
        local = flat.mT @ deviator.reshape(elements, points * 4, count) + self._volume_stiffness
        place, indices, starts = self._pattern
        data = np.bincount(place, local.ravel(), minlength=len(indices))
        return csr_matrix((data, indices, starts), shape=(self.model.size, self.model.size))
