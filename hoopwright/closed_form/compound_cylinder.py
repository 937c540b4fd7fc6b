"""Compound cylinder by Lamé: contact pressure, hoop stress and radial displacement of a press fit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.closed_form._check import (
    PLANE_STRAIN,
    PLANE_STRESS,
    Elastic,
    Real,
    effective_elastic,
    require_elastic,
    require_increasing,
)


def sleeve_compliance(
    *, sleeve_bore_radius: Real, interface_radius: Real, sleeve: Elastic, condition: str
) -> Real:
    """Inward radial displacement of a sleeve's outside per unit of external pressure.

        C = (b/E')[(b² + a²)/(b² - a²) - ν'],   a: bore (0 for a solid plug), b: interface radius

    with E' = E, ν' = ν in plane stress (ends free, short ring) and E' = E/(1 - ν²),
    ν' = ν/(1 - ν) in plane strain (ends held, no axial strain).
    Radii in mm, sleeve: (E in MPa, ν). Returns mm/MPa.
    Raises ValueError for radii out of order. Source: Lamé.

    >>> round(sleeve_compliance(sleeve_bore_radius=0.0, interface_radius=500.0,
    ...                         sleeve=(2e5, 0.3), condition="plane stress"), 12)
    0.00175
    """
    a, b = sleeve_bore_radius, interface_radius
    require_increasing(bore_may_be_zero=True, sleeve_bore_radius=a, interface_radius=b)
    require_elastic("sleeve", sleeve)
    E, nu = effective_elastic(sleeve, condition)
    return b / E * ((b**2 + a**2) / (b**2 - a**2) - nu)


def shell_compliance(
    *, interface_radius: Real, shell_outer_radius: Real, shell: Elastic, condition: str
) -> Real:
    """Outward radial displacement of a shell's bore per unit of bore pressure.

        C = (b/E')[(c² + b²)/(c² - b²) + ν'],   b: interface radius, c: outside radius

    Radii in mm, shell: (E in MPa, ν). Returns mm/MPa. E' and ν' as in `sleeve_compliance`.
    Raises ValueError for radii out of order. Source: Lamé.

    >>> round(shell_compliance(interface_radius=500.0, shell_outer_radius=1000.0,
    ...                        shell=(2e5, 0.3), condition="plane stress"), 9)
    0.004916667
    """
    b, c = interface_radius, shell_outer_radius
    require_increasing(interface_radius=b, shell_outer_radius=c)
    require_elastic("shell", shell)
    E, nu = effective_elastic(shell, condition)
    return b / E * ((c**2 + b**2) / (c**2 - b**2) + nu)


def thermal_interference(
    *,
    interface_radius: Real,
    sleeve_alpha: Real,
    shell_alpha: Real,
    temperature_change: Real,
    sleeve_nu: Real = 0.0,
    shell_nu: Real = 0.0,
    condition: str = PLANE_STRESS,
) -> Real:
    """Radial interference gained when both parts undergo the same temperature change.

        δ = b (α_sleeve - α_shell) ΔT,   each α times (1 + ν) in plane strain

    b: interface radius, mm; α: 1/K; ΔT: K from the temperature of measurement. ν is used in plane
    strain only. Returns mm, positive where the fit tightens.
    Source: linear expansion; the (1 + ν) comes from the axial expansion that plane strain suppresses.

    >>> round(thermal_interference(interface_radius=20.0, sleeve_alpha=12e-6, shell_alpha=23e-6,
    ...                            temperature_change=50.0), 6)
    -0.011
    """
    if condition == PLANE_STRAIN:
        sleeve_alpha = sleeve_alpha * (1.0 + sleeve_nu)
        shell_alpha = shell_alpha * (1.0 + shell_nu)
    elif condition != PLANE_STRESS:
        raise ValueError(f"condition must be 'plane stress' or 'plane strain', got {condition!r}")
    return interface_radius * (sleeve_alpha - shell_alpha) * temperature_change


def contact_pressure(
    *,
    radial_interference: Real,
    sleeve_bore_radius: Real,
    interface_radius: Real,
    shell_outer_radius: Real,
    sleeve: Elastic,
    shell: Elastic,
    condition: str = PLANE_STRESS,
    sleeve_alpha: Real = 0.0,
    shell_alpha: Real = 0.0,
    temperature_change: Real = 0.0,
) -> Real:
    """Contact pressure of a sleeve pressed into a shell of the same length.

        p = max(0, (δ + δ_T)/(C_sleeve + C_shell))

    δ: radial interference at the temperature of measurement, mm (negative is a gap); radii in mm,
    sleeve bore 0 for a solid plug; sleeve, shell: (E in MPa, ν); α in 1/K and temperature_change
    in K give δ_T by `thermal_interference`. All arguments broadcast.
    Returns MPa, compression positive, 0 where the parts do not touch.
    Raises ValueError for radii out of order or an unknown condition. Source: Lamé.

    >>> round(contact_pressure(radial_interference=0.6667, sleeve_bore_radius=0.0,
    ...       interface_radius=500.0, shell_outer_radius=1000.0, sleeve=(2e5, 0.3),
    ...       shell=(2e5, 0.3)), 2)
    100.0
    """
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
    gained = thermal_interference(
        interface_radius=interface_radius,
        sleeve_alpha=sleeve_alpha,
        shell_alpha=shell_alpha,
        temperature_change=temperature_change,
        sleeve_nu=sleeve[1],
        shell_nu=shell[1],
        condition=condition,
    )
    pressure = np.maximum((radial_interference + gained) / (inward + outward), 0.0)
    return float(pressure) if np.ndim(pressure) == 0 else pressure


@dataclass(frozen=True)
class CompoundCylinder:
    """Lamé solution of a pressed pair.

    Stress in MPa, tension positive; radial displacement in mm, outward positive.

    pressure: contact pressure, MPa, compression positive.
    sleeve_hoop_bore, sleeve_hoop_interface: hoop stress of the sleeve at its two radii.
    shell_hoop_interface, shell_hoop_outside: hoop stress of the shell at its two radii.
    sleeve_bore_displacement: negative because the bore closes; 0 for a solid plug.
    shell_outside_displacement: positive because the outside grows.
    sleeve_interface_displacement, shell_interface_displacement: at the contact; their difference is the
        interference taken up.
    """

    pressure: Real
    sleeve_hoop_bore: Real
    sleeve_hoop_interface: Real
    shell_hoop_interface: Real
    shell_hoop_outside: Real
    sleeve_bore_displacement: Real
    sleeve_interface_displacement: Real
    shell_interface_displacement: Real
    shell_outside_displacement: Real


def compound_cylinder(
    *,
    pressure: Real,
    sleeve_bore_radius: Real,
    interface_radius: Real,
    shell_outer_radius: Real,
    sleeve: Elastic,
    shell: Elastic,
    condition: str = PLANE_STRESS,
) -> CompoundCylinder:
    """Hoop stress and radial displacement of a pressed pair at a given contact pressure.

        σ_θ sleeve: -2 p b²/(b² - a²) at the bore, -p (b² + a²)/(b² - a²) at the interface
        σ_θ shell: p (c² + b²)/(c² - b²) at the interface, 2 p b²/(c² - b²) outside

    A solid plug (a = 0) has -p everywhere. Radii in mm, pressure in MPa, materials (E in MPa, ν).
    The displacement is due to the pressure alone and excludes thermal expansion.
    Raises ValueError for radii out of order. Source: Lamé.

    >>> fit = compound_cylinder(pressure=53.3, sleeve_bore_radius=20.0, interface_radius=30.0,
    ...       shell_outer_radius=60.0, sleeve=(105e3, 0.3), shell=(210e3, 0.3))
    >>> round(fit.sleeve_hoop_bore, 1), round(fit.shell_hoop_interface, 1)
    (-191.9, 88.8)
    """
    a, b, c = sleeve_bore_radius, interface_radius, shell_outer_radius
    inward = sleeve_compliance(sleeve_bore_radius=a, interface_radius=b, sleeve=sleeve, condition=condition)
    outward = shell_compliance(interface_radius=b, shell_outer_radius=c, shell=shell, condition=condition)
    sleeve_area, shell_area = b**2 - a**2, c**2 - b**2
    solid = np.equal(a, 0.0)
    bore_hoop = np.where(solid, -pressure, -2.0 * pressure * b**2 / sleeve_area)
    outside_hoop = 2.0 * pressure * b**2 / shell_area
    # A free surface carries hoop stress alone, so its hoop strain is σ_θ/E'.
    sleeve_E = effective_elastic(sleeve, condition)[0]
    shell_E = effective_elastic(shell, condition)[0]
    bore_move = np.where(solid, 0.0, bore_hoop * a / sleeve_E)
    scalar = np.ndim(bore_move) == 0
    return CompoundCylinder(
        pressure=pressure,
        sleeve_hoop_bore=float(bore_hoop) if np.ndim(bore_hoop) == 0 else bore_hoop,
        sleeve_hoop_interface=-pressure * (b**2 + a**2) / sleeve_area,
        shell_hoop_interface=pressure * (c**2 + b**2) / shell_area,
        shell_hoop_outside=outside_hoop,
        sleeve_bore_displacement=float(bore_move) if scalar else bore_move,
        sleeve_interface_displacement=-pressure * inward,
        shell_interface_displacement=pressure * outward,
        shell_outside_displacement=outside_hoop * c / shell_E,
    )
