"""Hollow cylinders under cos θ tractions, bending and torsion."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Elastic, Real, require_elastic, require_increasing, require_inside


def cosine_traction_stress(
    r: Real, theta: Real, *, inner_radius: Real, outer_radius: Real, outer_pressure: Real, nu: Real
) -> tuple[Real, Real, Real]:
    """Plane-strain stress in a hollow cylinder under opposite lateral forces on bore and outside.

    The outside carries σ_rr = -p cos θ and the bore σ_rr = -(R_o/R_i) p cos θ, without shear on
    either: equal and opposite forces π R_o p per unit length.

        σ_rr = A [r + R_i²R_o²/r³ + (3 - 2ν)/(1 - 2ν) S/r] cos θ
        σ_θθ = A [3r - R_i²R_o²/r³ - S/r] cos θ
        σ_rθ = A [r + R_i²R_o²/r³ - S/r] sin θ
        S = R_o² + R_i²,   A = -(1 - 2ν) R_o p/[4 (1 - ν) S]

    r, radii: mm, r in the wall; theta: rad; outer_pressure p: MPa; nu in [0, 0.5).
    Returns σ_rr, σ_θθ, σ_rθ in MPa. Raises ValueError outside the wall.
    Source: derived from the polar general solution with single-valued displacement.

    >>> rr = cosine_traction_stress(21.0, 0.0, inner_radius=20.0, outer_radius=22.0,
    ...                             outer_pressure=10.0, nu=0.3)[0]
    >>> round(float(rr), 5)
    -10.46942
    """
    require_increasing(inner_radius=inner_radius, outer_radius=outer_radius)
    require_inside(r, inner_radius, outer_radius)
    require_elastic("material", (1.0, nu))
    S = outer_radius**2 + inner_radius**2
    A = -(1.0 - 2.0 * nu) * outer_radius * outer_pressure / (4.0 * (1.0 - nu) * S)
    cubic = (inner_radius * outer_radius) ** 2 / r**3
    rr = A * (r + cubic + (3.0 - 2.0 * nu) / (1.0 - 2.0 * nu) * S / r) * np.cos(theta)
    tt = A * (3.0 * r - cubic - S / r) * np.cos(theta)
    rt = A * (r + cubic - S / r) * np.sin(theta)
    return rr, tt, rt


def second_moment(*, inner_radius: Real, outer_radius: Real) -> Real:
    """Second moment of area of an annulus about a diameter.

        I = π (R_o⁴ - R_i⁴)/4

    Radii in mm. Returns mm⁴; the polar moment is twice that. Raises ValueError for radii out of order.
    Source: geometry.

    >>> round(second_moment(inner_radius=20.0, outer_radius=22.0), 1)
    58320.5
    """
    require_increasing(bore_may_be_zero=True, inner_radius=inner_radius, outer_radius=outer_radius)
    return np.pi * (outer_radius**4 - inner_radius**4) / 4.0


def pure_bending(
    r: Real,
    theta: Real,
    z: Real,
    *,
    moment: Real,
    inner_radius: Real,
    outer_radius: Real,
    material: Elastic,
) -> tuple[Real, Real, Real, Real]:
    """Displacement and axial stress of a tube in pure bending; all other stress components are zero.

        σ_zz = (M/I) r cos θ,   u_z = M/(EI) r z cos θ
        u_r = -M/(2EI) [z² + ν (r² - R_i²)] cos θ
        u_θ =  M/(2EI) [z² - ν (r² + R_i²)] sin θ

    moment M: N·mm, tension on the side θ = 0; r, z, radii: mm; theta: rad; material: (E MPa, ν).
    Returns u_r, u_θ, u_z in mm and σ_zz in MPa. Raises ValueError outside the wall.
    Source: Saint-Venant bending in polar components, with the rigid-body motion chosen so that
    u_r = 0 on the bore at z = 0.

    >>> u = pure_bending(22.0, 0.0, 10.0, moment=1e5, inner_radius=20.0, outer_radius=22.0,
    ...                  material=(69e3, 0.33))
    >>> round(float(u[3]), 3)
    37.723
    """
    require_inside(r, inner_radius, outer_radius)
    require_elastic("material", material)
    E, nu = material
    inertia = second_moment(inner_radius=inner_radius, outer_radius=outer_radius)
    curvature = moment / (E * inertia)
    u_r = -curvature / 2.0 * (z**2 + nu * (r**2 - inner_radius**2)) * np.cos(theta)
    u_t = curvature / 2.0 * (z**2 - nu * (r**2 + inner_radius**2)) * np.sin(theta)
    u_z = curvature * r * z * np.cos(theta)
    return u_r, u_t, u_z, moment / inertia * r * np.cos(theta)


def torsion(
    r: Real, *, torque: Real, inner_radius: Real, outer_radius: Real, material: Elastic
) -> tuple[Real, Real]:
    """Shear stress and twist per unit length of a tube in torsion.

        τ = T r/J,   twist = T/(G J),   J = π (R_o⁴ - R_i⁴)/2,   G = E/[2(1 + ν)]

    r, radii: mm (inner_radius 0 for a solid bar); torque: N·mm; material: (E in MPa, ν).
    Returns τ in MPa and the twist in rad/mm. Raises ValueError outside the wall.
    Source: Coulomb's torsion of a round bar.

    >>> shear, twist = torsion(100.0, torque=50e6, inner_radius=0.0, outer_radius=100.0,
    ...                        material=(208e3, 0.3))
    >>> round(shear, 3), round(twist * 500.0, 8)
    (31.831, 0.00198944)
    """
    require_inside(r, inner_radius, outer_radius)
    require_elastic("material", material)
    polar = 2.0 * second_moment(inner_radius=inner_radius, outer_radius=outer_radius)
    modulus = material[0] / (2.0 * (1.0 + material[1]))
    return torque * r / polar, torque / (modulus * polar)
