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

from functools import cached_property
from typing import Any

import numpy as np
from skfem import Basis
from skfem.element import DiscreteField

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
        unit = vector_functions([functions[0] for functions in self._basis.basis])
        amplitude = np.stack(strain(unit, self.r, n))
        return np.ascontiguousarray(amplitude.transpose(2, 3, 0, 1))


def vector_functions(functions: list[DiscreteField]) -> DiscreteField:
    """Every function in every component as one field: value (3, 3 · functions, elements, points).

    The second axis runs over the functions, and for each over the components r, θ, z.
    """
    count = len(functions)
    shape = COMPONENTS, COMPONENTS * count, *np.asarray(functions[0]).shape
    value, grad = np.zeros(shape), np.zeros((shape[0], 2, *shape[1:]))
    for k, function in enumerate(functions):
        for component in range(COMPONENTS):
            value[component, COMPONENTS * k + component] = function
            grad[component, :, COMPONENTS * k + component] = function.grad
    return DiscreteField(value, grad)
