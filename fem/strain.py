"""Strain and stress of a body of revolution whose displacement varies with θ as one Fourier harmonic.

    u_r = U(r, z) cos nθ,   u_θ = V(r, z) sin nθ,   u_z = W(r, z) cos nθ

    ε_rr = ∂U/∂r               γ_rz = ∂U/∂z + ∂W/∂r          (× cos nθ)
    ε_θθ = (U + nV)/r          γ_rθ = ∂V/∂r − (V + nU)/r     (× sin nθ)
    ε_zz = ∂W/∂z               γ_θz = ∂V/∂z − nW/r           (× sin nθ)

The other family, u_r and u_z with sin nθ and u_θ with −cos nθ, has the same strain; its shear strains carry
−cos nθ. Source: Zienkiewicz & Taylor, The Finite Element Method, chapter on semi-analytical processes (from
memory, not seen).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from skfem import Basis

R, TH, Z = 0, 1, 2
"""Displacement components."""
COMPONENTS = 3


def strain(u: Any, r: np.ndarray, n: int) -> tuple[np.ndarray, ...]:
    """Strain amplitudes (rr, θθ, zz, rz, rθ, θz), engineering shear, of the field u = (U, V, W).

    u: discrete field, mm, whose components stand first; r: mm; n: harmonic. Each component has the shape
    of u[0].
    """
    grad = u.grad
    return (
        grad[R, 0],
        (u[R] + n * u[TH]) / r,
        grad[Z, 1],
        grad[R, 1] + grad[Z, 0],
        grad[TH, 0] - (u[TH] + n * u[R]) / r,
        grad[TH, 1] - n * u[Z] / r,
    )


def stress(strain: tuple[np.ndarray, ...], lame: np.ndarray, shear: np.ndarray) -> tuple[np.ndarray, ...]:
    """Hooke's law for the strains in the order of `strain`. lame, shear: λ and μ, MPa."""
    volume = lame * (strain[0] + strain[1] + strain[2])
    normal = tuple(volume + 2.0 * shear * e for e in strain[:3])
    return normal + tuple(shear * e for e in strain[3:])


class StrainOperator:
    """ε = (constant + n · per_n) applied to the 27 unknowns of an element (9 nodes × r, θ, z), at the
    points of a scalar basis.

    r, z: (elements, points), mm; weight: (elements, points), area of the quadrature point in the meridian
    plane, mm².
    """

    def __init__(self, basis: Basis) -> None:
        self._basis = basis
        self.r, self.z = np.asarray(basis.default_parameters()["x"])
        self.weight = basis.dx

    @cached_property
    def constant(self) -> np.ndarray:
        """(elements, points, 6, 27), 1/mm."""
        return self._of_harmonic(0)

    @cached_property
    def per_n(self) -> np.ndarray:
        """(elements, points, 6, 27), 1/mm; no axisymmetric fit needs it."""
        return self._of_harmonic(1) - self.constant

    def at(self, n: int) -> np.ndarray:
        """The operator of harmonic n, (elements, points, 6, 27), 1/mm."""
        return self.constant + n * self.per_n if n else self.constant

    def _of_harmonic(self, n: int) -> np.ndarray:
        """The strain of every function of the basis in each component."""
        functions = [functions[0] for functions in self._basis.basis]
        value = np.stack([np.asarray(function) for function in functions], axis=-1)
        grad = np.stack([function.grad for function in functions], axis=-1)
        found = np.zeros((*self.r.shape, 6, COMPONENTS * len(functions)))
        for component in range(COMPONENTS):
            unit = _OneComponent(component, value, grad)
            for k, amplitude in enumerate(strain(unit, self.r[..., None], n)):
                found[..., k, component::COMPONENTS] = amplitude
        return found


@dataclass(frozen=True)
class _OneComponent:
    """Functions in one component of a vector field. value: (elements, points, functions); gradient: (2,
    elements, points, functions)."""

    component: int
    value: np.ndarray
    gradient: np.ndarray

    def __getitem__(self, component: int) -> np.ndarray | float:
        return self.value if component == self.component else 0.0

    @property
    def grad(self) -> Mapping[tuple[int, int], np.ndarray | float]:
        """By component and the coordinate it is derived by."""
        return {
            (component, along): self.gradient[along] if component == self.component else 0.0
            for component in range(COMPONENTS)
            for along in range(2)
        }
