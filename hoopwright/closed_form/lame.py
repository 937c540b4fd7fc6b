"""Thick-walled cylinder under uniform pressure: stress and radial displacement."""

from __future__ import annotations

from hoopwright.closed_form._check import (
    PLANE_STRESS,
    Elastic,
    Real,
    effective_elastic,
    require_elastic,
    require_increasing,
    require_inside,
)


def lame_constants(*, a: Real, b: Real, p_i: Real = 0.0, p_o: Real = 0.0) -> tuple[Real, Real]:
    """Constants A and B of Lamé's solution, σ_r = A - B/r² and σ_θ = A + B/r².

        A = (p_i a² - p_o b²)/(b² - a²),   B = (p_i - p_o) a² b²/(b² - a²)

    a, b: bore and outside radius, mm, 0 <= a < b (a = 0 is a solid disc, and p_i is then unused);
    p_i, p_o: pressure inside and outside, MPa, compression positive. Returns A in MPa and B in N.
    Raises ValueError for radii out of order. Source: Lamé; any book on the theory of elasticity.

    >>> lame_constants(a=10.0, b=20.0, p_i=90.0)
    (30.0, 12000.0)
    """
    require_increasing(bore_may_be_zero=True, a=a, b=b)
    wall = b**2 - a**2
    return (p_i * a**2 - p_o * b**2) / wall, (p_i - p_o) * a**2 * b**2 / wall


def lame_stress(r: Real, *, a: Real, b: Real, p_i: Real = 0.0, p_o: Real = 0.0) -> tuple[Real, Real]:
    """Stress in a thick-walled cylinder under uniform pressure.

        σ_r = A - B/r²,   σ_θ = A + B/r²,   A and B as in `lame_constants`

    r: radius, mm, in [a, b]; a, b: bore and outside radius, mm, 0 < a < b; p_i, p_o: pressure
    inside and outside, MPa, compression positive. All arguments broadcast.
    Returns σ_r and σ_θ in MPa, tension positive. Raises ValueError outside the wall.
    Valid in plane stress and plane strain alike. Source: Lamé.

    >>> lame_stress(10.0, a=10.0, b=20.0, p_i=90.0)
    (-90.0, 150.0)
    """
    require_increasing(a=a, b=b)
    require_inside(r, a, b)
    A, B = lame_constants(a=a, b=b, p_i=p_i, p_o=p_o)
    return A - B / r**2, A + B / r**2


def lame_displacement(
    r: Real,
    *,
    a: Real,
    b: Real,
    material: Elastic,
    p_i: Real = 0.0,
    p_o: Real = 0.0,
    condition: str = PLANE_STRESS,
) -> Real:
    """Radial displacement of a thick-walled cylinder under uniform pressure.

        u = [(1 - ν') A r + (1 + ν') B/r]/E'

    with E' = E, ν' = ν in plane stress (ends free, short ring) and E' = E/(1 - ν²),
    ν' = ν/(1 - ν) in plane strain (ends held, no axial strain).
    r, a, b: mm; p_i, p_o: MPa; material: (E in MPa, ν). All arguments broadcast.
    Returns u in mm, outward positive. Raises ValueError outside the wall or for an unknown
    condition. Source: Lamé, with Hooke's law.

    >>> round(lame_displacement(10.0, a=10.0, b=20.0, p_i=90.0, material=(2e5, 0.3)), 9)
    0.00885
    """
    require_increasing(a=a, b=b)
    require_inside(r, a, b)
    require_elastic("material", material)
    E, nu = effective_elastic(material, condition)
    A, B = lame_constants(a=a, b=b, p_i=p_i, p_o=p_o)
    return ((1.0 - nu) * A * r + (1.0 + nu) * B / r) / E


def axial_stress_plane_strain(*, a: Real, b: Real, nu: Real, p_i: Real, p_o: Real = 0.0) -> Real:
    """Axial stress in a pressurised cylinder held at constant length.

        σ_z = ν (σ_r + σ_θ) = 2 ν A, uniform through the wall

    a, b: mm; p_i, p_o: MPa. Returns MPa, tension positive. Source: Lamé, with Hooke's law.

    >>> axial_stress_plane_strain(a=100.0, b=200.0, nu=0.5, p_i=60.0)
    20.0
    """
    return 2.0 * nu * lame_constants(a=a, b=b, p_i=p_i, p_o=p_o)[0]
