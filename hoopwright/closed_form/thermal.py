"""Thermal effects on a fit: interference lost when warm, and assembly by heat and cold."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Real, require_positive


def lost_interference(
    *, diameter: Real, sleeve_alpha: Real, shell_alpha: Real, temperature_change: Real
) -> Real:
    """Diametral interference a fit loses when both parts warm equally.

        loss = d (α_shell - α_sleeve) ΔT

    diameter: mm; α: 1/K; temperature_change: K from the temperature of measurement.
    Returns mm, positive where the fit loosens; the ends are free to expand.
    Raises ValueError unless diameter > 0. Source: linear expansion.

    >>> round(lost_interference(diameter=39.0, sleeve_alpha=11.7e-6, shell_alpha=23.4e-6,
    ...                         temperature_change=180.0), 4)
    0.0821
    """
    require_positive(diameter=diameter)
    return diameter * (shell_alpha - sleeve_alpha) * temperature_change


def assembly_clearance(
    *,
    interference: Real,
    diameter: Real,
    sleeve_alpha: Real,
    shell_alpha: Real,
    sleeve_temperature_change: Real,
    shell_temperature_change: Real,
) -> Real:
    """Diametral clearance between a heated shell and a chilled sleeve.

        gap = d (α_shell ΔT_shell - α_sleeve ΔT_sleeve) - δ

    interference δ: diametral, mm, at the temperature of measurement; diameter: mm; α: 1/K;
    temperature changes: K from that temperature (negative when chilled).
    Returns mm, negative while the parts still interfere. Source: linear expansion.

    >>> round(assembly_clearance(interference=0.04, diameter=39.0, sleeve_alpha=11.7e-6,
    ...       shell_alpha=23.4e-6, sleeve_temperature_change=-38.0,
    ...       shell_temperature_change=100.0), 4)
    0.0686
    """
    require_positive(diameter=diameter)
    growth = shell_alpha * shell_temperature_change - sleeve_alpha * sleeve_temperature_change
    return diameter * growth - interference


def shell_temperature_for_clearance(
    *,
    interference: Real,
    clearance: Real,
    diameter: Real,
    sleeve_alpha: Real,
    shell_alpha: Real,
    sleeve_temperature_change: Real = 0.0,
) -> Real:
    """Temperature change the shell needs for the sleeve to slip in.

        ΔT_shell = [(δ + gap)/d + α_sleeve ΔT_sleeve]/α_shell

    clearance: diametral gap required, mm; others as in `assembly_clearance`.
    Returns K from the temperature of measurement. Raises ValueError unless α_shell > 0.
    Source: linear expansion.

    >>> round(shell_temperature_for_clearance(interference=0.04, clearance=0.04, diameter=39.0,
    ...       sleeve_alpha=11.7e-6, shell_alpha=23.4e-6), 1)
    87.7
    """
    require_positive(diameter=diameter, shell_alpha=shell_alpha)
    strain = (interference + clearance) / diameter
    return (strain + sleeve_alpha * sleeve_temperature_change) / shell_alpha


def time_constant(
    *, density: Real, specific_heat: Real, volume: Real, area: Real, heat_transfer: Real
) -> Real:
    """Time constant of a part that cools as a lumped mass.

        τ = ρ c V/(h A)

    density: kg/m³; specific_heat: J/(kg·K); volume: mm³; area: surface that loses heat, mm²;
    heat_transfer h: W/(m²·K). Returns s. Raises ValueError unless all are above 0.
    Valid while the Biot number h (V/A)/k stays below about 0.1. Source: lumped heat balance.

    >>> round(time_constant(density=2700.0, specific_heat=900.0, volume=2.5, area=1.0,
    ...                     heat_transfer=15.0))
    405
    """
    require_positive(
        density=density,
        specific_heat=specific_heat,
        volume=volume,
        area=area,
        heat_transfer=heat_transfer,
    )
    depth_m = volume / area * 1e-3
    return density * specific_heat * depth_m / heat_transfer


def handling_time(
    *,
    interference: float,
    diameter: float,
    sleeve_alpha: float,
    shell_alpha: float,
    sleeve_temperature_change: float,
    shell_temperature_change: float,
    sleeve_time_constant: float,
    shell_time_constant: float,
) -> float:
    """Time from leaving oven and freezer until the gap between the parts has closed.

        gap(t) = d [α_h ΔT_h e^(-t/τ_h) - α_s ΔT_s e^(-t/τ_s)] - δ = 0

    The room is at the temperature of measurement, to which the changes refer. Arguments as in
    `assembly_clearance`; time constants in s. Returns s, by bisection; 0 when there is no gap at first.
    The parts are taken to cool separately: once they touch, heat crosses far faster than this.
    Raises ValueError unless interference > 0, the shell is not colder and the sleeve not warmer
    than the room. Source: linear expansion and lumped heat balance.

    >>> round(handling_time(interference=0.04, diameter=39.0, sleeve_alpha=11.7e-6,
    ...       shell_alpha=23.4e-6, sleeve_temperature_change=0.0, shell_temperature_change=100.0,
    ...       sleeve_time_constant=300.0, shell_time_constant=400.0))
    330
    """
    require_positive(
        interference=interference,
        diameter=diameter,
        sleeve_time_constant=sleeve_time_constant,
        shell_time_constant=shell_time_constant,
    )
    if shell_temperature_change < 0.0 or sleeve_temperature_change > 0.0:
        raise ValueError("the shell must not be colder, nor the sleeve warmer, than the room")

    def gap(time: float) -> float:
        clearance = assembly_clearance(
            interference=interference,
            diameter=diameter,
            sleeve_alpha=sleeve_alpha,
            shell_alpha=shell_alpha,
            sleeve_temperature_change=sleeve_temperature_change * np.exp(-time / sleeve_time_constant),
            shell_temperature_change=shell_temperature_change * np.exp(-time / shell_time_constant),
        )
        return float(clearance)

    if gap(0.0) <= 0.0:
        return 0.0
    early, late = 0.0, max(sleeve_time_constant, shell_time_constant)
    while gap(late) > 0.0:
        late *= 2.0
    for _ in range(60):
        middle = (early + late) / 2.0
        early, late = (middle, late) if gap(middle) > 0.0 else (early, middle)
    return (early + late) / 2.0
