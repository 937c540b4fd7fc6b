"""Strain of a body of revolution whose displacement varies with θ as one Fourier harmonic.

    u_r = U(r, z) cos nθ,   u_θ = V(r, z) sin nθ,   u_z = W(r, z) cos nθ

    ε_rr = ∂U/∂r               γ_rz = ∂U/∂z + ∂W/∂r          (× cos nθ)
    ε_θθ = (U + nV)/r          γ_rθ = ∂V/∂r − (V + nU)/r     (× sin nθ)
    ε_zz = ∂W/∂z               γ_θz = ∂V/∂z − nW/r           (× sin nθ)

The other family, u_r and u_z with sin nθ and u_θ with −cos nθ, has the same operator; its shear
strains carry −cos nθ. Source: Zienkiewicz & Taylor, The Finite Element Method, chapter on
semi-analytical processes (from memory, not seen).

In each element the dilatation is replaced by its best bilinear fit, which nine nodes can follow
without locking when the material is nearly incompressible. Source: mean-dilatation (B-bar) method,
Hughes, Int. J. Numer. Methods Eng. 15 (1980), from memory, not seen. A linear fit is the pair with the
proof of stability, but loses the r·z part of the dilatation and with it accuracy in bent walls.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hoopwright.fem.element import GAUSS_3X3, points_of
from hoopwright.fem.mesh import Mesh

R, TH, Z = 0, 1, 2  # displacement components
COMPONENTS = 3


@dataclass(frozen=True)
class StrainOperator:
    """ε = (constant + n · per_n) applied to the 27 unknowns of an element (9 nodes × r, θ, z).

    constant, per_n: (elements, points, 6, 27), 1/mm; r, z: (elements, points), mm;
    weight: (elements, points), area of the quadrature point in the meridian plane, mm².
    dilatation: of both, the bilinear fit of ε_rr + ε_θθ + ε_zz in each element, (elements, 4, 27).
    """

    constant: np.ndarray
    per_n: np.ndarray
    r: np.ndarray
    z: np.ndarray
    weight: np.ndarray
    dilatation: tuple[np.ndarray, ...] = ()

    def at(self, n: int) -> np.ndarray:
        """The operator of harmonic n, (elements, points, 6, 27), 1/mm."""
        return self.constant + n * self.per_n if n else self.constant


def strain_operator(
    mesh: Mesh, degree: int = GAUSS_3X3, *, like: StrainOperator | None = None
) -> StrainOperator:
    """The operator at the points of a rule of every element.

    like: that at the Gauss points where there is one, whose fit of the dilatation is this one's too.
    """
    gauss = _compatible(mesh, GAUSS_3X3) if like is None else like
    at = gauss if degree == GAUSS_3X3 and like is None else _compatible(mesh, degree)
    dilatation = _dilatation(mesh, gauss) if like is None else like.dilatation
    bilinear = _bilinear(mesh, at)
    for part, fit in zip((at.constant, at.per_n), dilatation, strict=True):
        normal = part[:, :, :3]
        normal += ((bilinear @ fit - normal.sum(axis=2)) / 3.0)[:, :, None]
    return replace(at, dilatation=dilatation)


def _dilatation(mesh: Mesh, gauss: StrainOperator) -> tuple[np.ndarray, ...]:
    """Best bilinear fit of the dilatation, of the compatible operator at the Gauss points."""
    bilinear = _bilinear(mesh, gauss)
    weighted = bilinear * (gauss.weight * gauss.r)[..., None]
    fit = np.linalg.solve(weighted.mT @ bilinear, weighted.mT)
    return tuple(fit @ part[:, :, :3].sum(axis=2) for part in (gauss.constant, gauss.per_n))


def _bilinear(mesh: Mesh, at: StrainOperator) -> np.ndarray:
    """The functions 1, r, z, rz of each element, centred and scaled, (elements, points, 4)."""
    corners = mesh.quads.p[:, mesh.quads.t]
    middle, size = corners.mean(axis=1), np.ptp(corners, axis=1)
    r, z = ((x - m[:, None]) / h[:, None] for x, m, h in zip((at.r, at.z), middle, size, strict=True))
    return np.stack([np.ones_like(r), r, z, r * z], axis=-1)


def _compatible(mesh: Mesh, degree: int) -> StrainOperator:
    """The operator as derived from the shape functions, dilatation not yet fitted."""
    at = points_of(mesh.quads, degree)
    slope_r, slope_z, over_r = at.slope_r, at.slope_z, at.shape / at.r[..., None]
    constant = np.zeros((*at.r.shape, 6, at.shape.shape[-1], COMPONENTS))
    per_n = np.zeros_like(constant)
    constant[..., 0, :, R] = slope_r
    constant[..., 1, :, R] = over_r
    constant[..., 2, :, Z] = slope_z
    constant[..., 3, :, R] = slope_z
    constant[..., 3, :, Z] = slope_r
    constant[..., 4, :, TH] = slope_r - over_r
    constant[..., 5, :, TH] = slope_z
    per_n[..., 1, :, TH] = over_r
    per_n[..., 4, :, R] = -over_r
    per_n[..., 5, :, Z] = -over_r
    flat = (*at.r.shape, 6, -1)
    return StrainOperator(constant.reshape(flat), per_n.reshape(flat), at.r, at.z, at.weight)


def element_dofs(mesh: Mesh) -> np.ndarray:
    """Unknown numbers of each element, (elements, 27): three per node, in the order r, θ, z."""
    nodes = mesh.connectivity.T
    return (COMPONENTS * nodes[:, :, None] + np.arange(COMPONENTS)).reshape(len(nodes), -1)
