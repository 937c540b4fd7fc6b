"""Isotropic linear elasticity with thermal expansion."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hoopwright.fem.validation import check_not_negative, check_positive

MISES = np.zeros((6, 6))
"""The von Mises stress as a quadratic form, q² = σᵀ MISES σ, for sums of stresses that are expanded."""
MISES[:3, :3] = 1.5 * np.eye(3) - 0.5
MISES[3:, 3:] = 3.0 * np.eye(3)


@dataclass(frozen=True)
class Elastic:
    """Isotropic elastic constants.

    young_modulus: E, MPa, > 0; poisson_ratio: ν, 0 <= ν < 0.5; expansion: α, 1/K, >= 0. Raises ValueError
    for others, NaN and infinity included. effective_rise: for a temperature rise, K, the one that would
    give the same free strain with `expansion`; None where that is the same all the way.
    """

    young_modulus: float
    poisson_ratio: float
    expansion: float = 0.0
    effective_rise: Callable[[float], float] | None = None

    def __post_init__(self) -> None:
        check_positive("E", self.young_modulus, "MPa")
        if not 0.0 <= self.poisson_ratio < 0.5:
            raise ValueError(f"need 0 <= ν < 0.5, got {self.poisson_ratio}")
        check_not_negative("α", self.expansion, "1/K")

    @property
    def shear_modulus(self) -> float:
        """μ, MPa."""
        return self.young_modulus / (2.0 * (1.0 + self.poisson_ratio))

    @property
    def bulk_modulus(self) -> float:
        """κ = λ + 2μ/3, MPa."""
        return self.young_modulus / (3.0 * (1.0 - 2.0 * self.poisson_ratio))

    def matrix(self) -> np.ndarray:
        """D in σ = D ε, (6, 6), MPa; order (rr, θθ, zz, rz, rθ, θz), engineering shear strain."""
        mu = self.shear_modulus
        lam = self.bulk_modulus - 2.0 / 3.0 * mu
        D = np.diag([2.0 * mu] * 3 + [mu] * 3)
        D[:3, :3] += lam
        return D

    def effective(self, temperature_rise: float) -> float:
        """The rise, K, times `expansion` is the free strain of a temperature rise, K."""
        return self.effective_rise(temperature_rise) if self.effective_rise else temperature_rise

    def thermal_strain(self) -> np.ndarray:
        """Free thermal strain per kelvin, (6,), 1/K."""
        return self.expansion * np.array([1.0, 1.0, 1.0, 0.0, 0.0, 0.0])


def von_mises(stress: np.ndarray) -> np.ndarray:
    """Von Mises stress √(3 J2) of stress[..., 6], in the same unit, shape stress.shape[:-1]."""
    rr, tt, zz, rz, rt, tz = np.moveaxis(np.asarray(stress), -1, 0)
    normal = (rr - tt) ** 2 + (tt - zz) ** 2 + (zz - rr) ** 2
    return np.sqrt(0.5 * normal + 3.0 * (rz**2 + rt**2 + tz**2))
