"""Thick cylinders by Lamé: radial displacement, axial stress, interference of a contact pressure."""

from __future__ import annotations

from hoopwright.closed_form._check import (
    PLANE_STRESS,
    Elastic,
    Real,
    effective_elastic,
    require_elastic,
    require_increasing,
    require_inside,
    require_not_negative,
)
from hoopwright.closed_form.compound_cylinder import shell_compliance, sleeve_compliance
from hoopwright.closed_form.lame import lame_constants


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


def interference_for_pressure(
    *,
    pressure: Real,
    sleeve_bore_radius: Real,
    interface_radius: Real,
    shell_outer_radius: Real,
    sleeve: Elastic,
    shell: Elastic,
    condition: str = PLANE_STRESS,
) -> Real:
    """Radial interference that gives a contact pressure, by Lamé.

        δ = p (C_sleeve + C_shell)

    Arguments as in `contact_pressure`; pressure in MPa, at least 0.
    Returns mm, at the temperature of measurement.
    Raises ValueError for a negative pressure or radii out of order. Source: Lamé.

    >>> round(interference_for_pressure(pressure=100.0, sleeve_bore_radius=0.0,
    ...       interface_radius=500.0, shell_outer_radius=1000.0, sleeve=(2e5, 0.3),
    ...       shell=(2e5, 0.3)), 4)
    0.6667
    """
    require_not_negative(pressure=pressure)
    inward = sleeve_compliance(
        sleeve_bore_radius=sleeve_bore_radius,
        interface_radius=interface_radius,
        sleeve=sleeve,
        condition=condition,
    )
    outward = shell_compliance(
        interface_radius=interface_radius,
        shell_outer_radius=shell_outer_radius,
        shell=shell,
        condition=condition,
    )
    return pressure * (inward + outward)
