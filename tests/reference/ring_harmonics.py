"""Rings under tractions that vary as cos nθ, n >= 2, by the general solution in polar coordinates.

The displacement is a sum of powers of the radius,

    u_r = Σ c_k U_k r^m_k cos nθ,   u_θ = Σ c_k V_k r^m_k sin nθ,   m = n - 1, n + 1, -n - 1, 1 - n

where equilibrium fixes U_k, V_k and the tractions on the two faces fix c_k.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from hoopwright.closed_form._check import (
    PLANE_STRAIN,
    PLANE_STRESS,
    Elastic,
    Real,
    require_elastic,
    require_increasing,
    require_inside,
)

Array = NDArray[np.float64]


def _lame_moduli(material: Elastic, condition: str) -> tuple[float, float]:
    """In-plane Lamé moduli (λ, G), MPa, for `condition`."""
    require_elastic("material", material)
    E, nu = float(material[0]), float(material[1])
    if condition == PLANE_STRESS:
        nu = nu / (1.0 + nu)
    elif condition != PLANE_STRAIN:
        raise ValueError(f"condition must be 'plane stress' or 'plane strain', got {condition!r}")
    shear = E / (2.0 * (1.0 + float(material[1])))
    return 2.0 * shear * nu / (1.0 - 2.0 * nu), shear


@dataclass(frozen=True)
class HarmonicBasis:
    """The four power solutions of one harmonic in one material.

    power, radial, tangential: m_k, U_k, V_k, shape (4,), or (2,) for a disc, which keeps only the
    powers that stay finite at the centre. scale: radius that normalises the powers, mm.
    """

    n: int
    lam: float
    shear: float
    scale: float
    power: Array
    radial: Array
    tangential: Array

    def displacement_rows(self, r: Real) -> tuple[Array, Array]:
        """Amplitudes of u_r and u_θ per unit coefficient: shape r.shape + (k,), mm."""
        terms = (np.asarray(r, dtype=float)[..., None] / self.scale) ** self.power
        return terms * self.radial * self.scale, terms * self.tangential * self.scale

    def stress_rows(self, r: Real) -> tuple[Array, Array, Array]:
        """Amplitudes of σ_rr, σ_θθ (cos nθ) and σ_rθ (sin nθ) per unit coefficient, MPa."""
        terms = (np.asarray(r, dtype=float)[..., None] / self.scale) ** (self.power - 1.0)
        stretch = self.power * self.radial
        hoop = self.radial + self.n * self.tangential
        slip = -self.n * self.radial + (self.power - 1.0) * self.tangential
        mean = self.lam * (stretch + hoop)
        rr = mean + 2.0 * self.shear * stretch
        tt = mean + 2.0 * self.shear * hoop
        return terms * rr, terms * tt, terms * self.shear * slip


def harmonic_basis(
    n: int, *, material: Elastic, scale: float, condition: str = PLANE_STRAIN, solid: bool = False
) -> HarmonicBasis:
    """Power solutions of harmonic n for a ring or a solid disc.

    n: at least 2 (n = 0 is Lamé, n = 1 has a logarithmic term); material: (E in MPa, ν); scale: mm.
    Raises ValueError for n below 2 or an unknown condition.
    Source: derived from Navier's equations; the same powers as Michell's general solution.

    >>> harmonic_basis(2, material=(1e3, 0.2), scale=1.0).power
    array([ 1.,  3., -3., -1.])
    """
    if n < 2:
        raise ValueError(f"the harmonic must be at least 2, got {n}")
    lam, shear = _lame_moduli(material, condition)
    stiff = (lam + shear) / shear
    power = np.array([n - 1.0, n + 1.0, -n - 1.0, 1.0 - n])
    radial = np.array([1.0, stiff * n - 2.0, 1.0, stiff * n + 2.0])
    tangential = np.array([-1.0, -(stiff * (n + 2) + 2.0), 1.0, stiff * (n - 2) - 2.0])
    keep = slice(0, 2) if solid else slice(0, 4)
    return HarmonicBasis(n, lam, shear, scale, power[keep], radial[keep], tangential[keep])


@dataclass(frozen=True)
class RingHarmonic:
    """One harmonic of the field in one ring: `stress(r)` and `displacement(r)` are amplitudes."""

    basis: HarmonicBasis
    coefficients: Array
    inner_radius: float
    outer_radius: float

    def stress(self, r: Real) -> tuple[Array, Array, Array]:
        """Amplitudes of σ_rr cos nθ, σ_θθ cos nθ, σ_rθ sin nθ, MPa. r: mm, in the wall."""
        require_inside(r, self.inner_radius, self.outer_radius)
        rr, tt, rt = self.basis.stress_rows(r)
        return rr @ self.coefficients, tt @ self.coefficients, rt @ self.coefficients

    def displacement(self, r: Real) -> tuple[Array, Array]:
        """Amplitudes of u_r cos nθ and u_θ sin nθ, mm. r: mm, in the wall."""
        require_inside(r, self.inner_radius, self.outer_radius)
        radial, tangential = self.basis.displacement_rows(r)
        return radial @ self.coefficients, tangential @ self.coefficients


def ring_harmonic(
    n: int,
    *,
    inner_radius: float,
    outer_radius: float,
    material: Elastic,
    inner_rr: float = 0.0,
    outer_rr: float = 0.0,
    inner_rt: float = 0.0,
    outer_rt: float = 0.0,
    condition: str = PLANE_STRAIN,
) -> RingHarmonic:
    """Field in a ring whose faces carry σ_rr cos nθ and σ_rθ sin nθ.

    n: at least 2; radii: mm; inner_rr, outer_rr, inner_rt, outer_rt: stress amplitudes on the
    bore and the outside, MPa, tension positive (a pressure is negative); with
    inner_radius 0 the ring is a solid disc and the inner stresses are unused. For n >= 2 the
    tractions are self-balanced, so no support is needed.
    Raises ValueError for radii out of order or n below 2.
    Source: general solution in polar coordinates, four tractions for four constants.

    >>> ring = ring_harmonic(2, inner_radius=20.0, outer_radius=22.0, material=(69e3, 0.33),
    ...                      outer_rr=-1.0)
    >>> float(round(ring.stress(22.0)[0], 9)), float(abs(round(ring.stress(20.0)[0], 9)))
    (-1.0, 0.0)
    """
    require_increasing(bore_may_be_zero=True, inner_radius=inner_radius, outer_radius=outer_radius)
    solid = inner_radius == 0.0
    basis = harmonic_basis(n, material=material, scale=outer_radius, condition=condition, solid=solid)
    rows, loads = [], []
    faces = [(outer_radius, outer_rr, outer_rt)]
    if not solid:
        faces.append((inner_radius, inner_rr, inner_rt))
    for radius, rr, rt in faces:
        row = basis.stress_rows(radius)
        rows += [row[0], row[2]]
        loads += [rr, rt]
    coefficients = np.linalg.solve(np.array(rows), np.array(loads))
    return RingHarmonic(basis, coefficients, inner_radius, outer_radius)


@dataclass(frozen=True)
class RingContact:
    """Solution for two rings in contact under one harmonic, MPa and mm.

    contact_pressure: amplitude of the pressure on the interface, cos nθ, compression positive.
    contact_shear: amplitude of σ_rθ on the interface, sin nθ; 0 where the interface slides freely.
    inner, outer: the fields in the two rings.
    """

    contact_pressure: float
    contact_shear: float
    inner: RingHarmonic
    outer: RingHarmonic


def two_ring_contact(
    n: int,
    *,
    bore_radius: float,
    interface_radius: float,
    outer_radius: float,
    inner: Elastic,
    outer: Elastic,
    outside_pressure: float,
    stuck: bool = False,
    condition: str = PLANE_STRAIN,
) -> RingContact:
    """Solution for two rings that stay in contact under an outside pressure p cos nθ.

    n: at least 2; radii: mm, bore_radius 0 for a solid inner disc; materials: (E in MPa, ν);
    outside_pressure p: amplitude, MPa, compression positive. If not stuck, the
    interface slides without friction and only u_r is continuous; if stuck, u_θ is continuous too. The
    contact must not open: the caller checks that the uniform pressure exceeds the amplitude.
    Raises ValueError for radii out of order or n below 2.
    Source: derived by superposing unit pressure and unit shear on the interface of each ring.

    >>> pair = two_ring_contact(2, bore_radius=0.0, interface_radius=600.0, outer_radius=1000.0,
    ...       inner=(1e3, 0.2), outer=(1e3, 0.2), outside_pressure=1.0)
    >>> round(pair.contact_pressure, 5)
    1.47926
    """
    require_increasing(
        bore_may_be_zero=True,
        bore_radius=bore_radius,
        interface_radius=interface_radius,
        outer_radius=outer_radius,
    )

    inside = partial(
        ring_harmonic,
        n,
        inner_radius=bore_radius,
        outer_radius=interface_radius,
        material=inner,
        condition=condition,
    )
    outside = partial(
        ring_harmonic,
        n,
        inner_radius=interface_radius,
        outer_radius=outer_radius,
        material=outer,
        condition=condition,
    )

    def move(ring: RingHarmonic) -> Array:
        return np.array(ring.displacement(interface_radius), dtype=float)

    by_pressure = move(inside(outer_rr=1.0)) - move(outside(inner_rr=1.0))
    by_shear = move(inside(outer_rt=1.0)) - move(outside(inner_rt=1.0))
    wanted = move(outside(outer_rr=-outside_pressure))
    if stuck:
        rr, rt = np.linalg.solve(np.column_stack([by_pressure, by_shear]), wanted).tolist()
    else:
        rr, rt = float(wanted[0] / by_pressure[0]), 0.0
    return RingContact(
        contact_pressure=-rr,
        contact_shear=rt,
        inner=inside(outer_rr=rr, outer_rt=rt),
        outer=outside(outer_rr=-outside_pressure, inner_rr=rr, inner_rt=rt),
    )
