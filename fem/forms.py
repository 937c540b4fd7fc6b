"""Weak forms of a body of revolution, for scikit-fem.

    a(u, v) = ∫ σ(u) : ε(v) r dr dz,   σ = λ tr(ε) 1 + 2μ ε,   ε of harmonic n as in `strain`

The factor from integrating cos² or sin² over θ (2π for n = 0, π otherwise) is left out on both sides.

A form of an isotropic body is made of six products of one scalar field u with one scalar test function v,
which are the same for all harmonics and materials:

    rr = ∫ u,r v,r r    zz = ∫ u,z v,z r    rz = ∫ u,r v,z r    r = ∫ u,r v    z = ∫ u,z v    m = ∫ u v / r
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

import numpy as np
from skfem import Basis, BilinearForm, LinearForm

from hoopwright.fem.strain import COMPONENTS, TH, R, Z, strain, stress


def stiffness(n: int) -> BilinearForm:
    """The literal form a(u, v) of harmonic n on fields (U, V, W).

    Parameters on assembly: lame, shear: λ and μ at the points, MPa.
    """

    @BilinearForm
    def a(u, v, w):
        r = w.x[0]
        sigma = stress(strain(u, r, n), w.lame, w.shear)
        return r * sum(s * e for s, e in zip(sigma, strain(v, r, n), strict=True))

    return a


@LinearForm
def radial_expansion(v, w):
    """Work of an isotropic stress on the radial test function: ∫ p (v,r + v/r) r dr dz."""
    return w.isotropic * (v.grad[0] * w.x[0] + v)


@LinearForm
def axial_expansion(v, w):
    """Work of an isotropic stress on the axial test function: ∫ p v,z r dr dz."""
    return w.isotropic * v.grad[1] * w.x[0]


def element_products(basis: Basis) -> dict[str, np.ndarray]:
    """The six products of every element, (elements, 9, 9) each: test function first, then trial function.

    With the values or derivatives of all nine functions at the points of an element as the rows of a
    matrix, a product is one matrix times the transpose of another, weighted. An assembly would call the
    form 81 times.
    """
    functions = [local[0] for local in basis.basis]
    value, along_r, along_z = (
        np.stack(rows, axis=1)
        for rows in (
            [np.asarray(f) for f in functions],
            [f.grad[0] for f in functions],
            [f.grad[1] for f in functions],
        )
    )
    r = np.asarray(basis.default_parameters()["x"])[0]

    def integral(test: np.ndarray, trial: np.ndarray, weight: np.ndarray) -> np.ndarray:
        return np.matmul(test * weight[:, None, :], trial.mT)

    area, volume = basis.dx, r * basis.dx
    return {
        "rr": integral(along_r, along_r, volume),
        "zz": integral(along_z, along_z, volume),
        "rz": integral(along_z, along_r, volume),
        "r": integral(value, along_r, area),
        "z": integral(value, along_z, area),
        "m": integral(value, value, area / r),
    }


def compose_meridian(products: Mapping[str, np.ndarray], lame: np.ndarray, shear: np.ndarray) -> np.ndarray:
    """K0 of the unknowns in the meridian plane, (elements, 18, 18), which is all an axisymmetric fit needs.

    products: see element_products; lame, shear: λ and μ of every element, (elements,), MPa. Unknowns: u_r
    and u_z of every node in turn.
    """
    lam, mu = (modulus[:, None, None] for modulus in (lame, shear))
    stiff = lam + 2.0 * mu
    rr, zz, rz, r, z, m = (products[name] for name in ("rr", "zz", "rz", "r", "z", "m"))
    K = np.empty((len(rr), 2 * rr.shape[1], 2 * rr.shape[2]))
    K[:, ::2, ::2] = stiff * (rr + m) + lam * (r + r.mT) + mu * zz
    K[:, ::2, 1::2] = lam * (rz.mT + z) + mu * rz
    K[:, 1::2, ::2] = K[:, ::2, 1::2].mT
    K[:, 1::2, 1::2] = stiff * zz + mu * rr
    return K


def compose(
    products: Mapping[str, np.ndarray], lame: np.ndarray, shear: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """K0, K1 and K2 of K(n) = K0 + n K1 + n² K2 of every element, (elements, 27, 27) each.

    products: see element_products; lame, shear: λ and μ of every element, (elements,), MPa. Unknowns: three
    per node in the order r, θ, z.
    """
    lam, mu = (modulus[:, None, None] for modulus in (lame, shear))
    stiff = lam + 2.0 * mu
    rr, zz, r, z, m = (products[name] for name in ("rr", "zz", "r", "z", "m"))
    K0, K1, K2 = np.zeros((3, len(rr), COMPONENTS * rr.shape[1], COMPONENTS * rr.shape[2]))

    def block(K: np.ndarray, test: int, trial: int) -> np.ndarray:
        return K[:, test::COMPONENTS, trial::COMPONENTS]

    meridian = compose_meridian(products, lame, shear)
    for (i, test), (j, trial) in product(enumerate((R, Z)), repeat=2):
        block(K0, test, trial)[:] = meridian[:, i::2, j::2]
    block(K0, TH, TH)[:] = mu * (rr - r - r.mT + m + zz)
    block(K1, R, TH)[:] = lam * (r.mT + m) + mu * (3.0 * m - r)
    block(K1, Z, TH)[:] = lam * z.mT - mu * z
    block(K1, TH, R)[:] = block(K1, R, TH).mT
    block(K1, TH, Z)[:] = block(K1, Z, TH).mT
    block(K2, R, R)[:] = block(K2, Z, Z)[:] = mu * m
    block(K2, TH, TH)[:] = stiff * m
    return K0, K1, K2
