"""Cooling of a lumped mass."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Real, require_positive


def biot_number(*, volume: Real, area: Real, heat_transfer: Real, conductivity: Real) -> Real:
    """Biot number; below about 0.1 a part cools as a lumped mass.

        Bi = h (V/A)/k

    volume: mm³; area: mm²; heat_transfer: W/(m²·K); conductivity k: W/(m·K). Dimensionless.
    Raises ValueError unless all are above 0. Source: lumped heat balance.

    >>> round(biot_number(volume=2.5, area=1.0, heat_transfer=15.0, conductivity=167.0), 6)
    0.000225
    """
    require_positive(volume=volume, area=area, heat_transfer=heat_transfer, conductivity=conductivity)
    return heat_transfer * volume / area * 1e-3 / conductivity


def cooling_time(*, start: Real, end: Real, surroundings: Real, time_constant: Real) -> Real:
    """Time a lumped mass takes to go from one temperature to another.

        t = τ ln[(T_start - T_room)/(T_end - T_room)]

    Temperatures all in °C or all in K; time_constant: s. Returns s. Raises ValueError unless end
    lies between start and surroundings (otherwise it is never reached). Source: lumped heat balance.

    >>> round(float(cooling_time(start=1000.0, end=350.0, surroundings=300.0,
    ...                          time_constant=16.0)), 1)
    42.2
    """
    require_positive(time_constant=time_constant)
    away, left = np.subtract(start, surroundings), np.subtract(end, surroundings)
    if not np.all((away * left > 0.0) & (np.abs(left) <= np.abs(away))):
        raise ValueError("end must lie between start and surroundings, and not on surroundings")
    return time_constant * np.log(away / left)


def thermal_preload_change(
    *,
    length: Real,
    tension_stiffness: Real,
    compression_stiffness: Real,
    tension_alpha: Real,
    compression_alpha: Real,
    temperature_change: Real,
) -> Real:
    """Preload gained when a part in tension and the part it clamps change temperature together.

        ΔF = (α_pressed - α_pulled) ΔT L/(1/k_pulled + 1/k_pressed),   k = E A/L for a plain bar

    length: mm, of both; axial stiffness: N/mm; α: 1/K; temperature_change: K.
    Returns N, positive where the clamp tightens. Raises ValueError for sizes not above 0.
    The ends are rigid and the parts touch nowhere between them. Source: two bars with common ends, as
    a bolt in a tube in any strength-of-materials book.

    >>> round(thermal_preload_change(length=100.0, tension_stiffness=2e5, compression_stiffness=2e5,
    ...                    tension_alpha=12e-6, compression_alpha=23e-6, temperature_change=40.0))
    4400
    """
    require_positive(
        length=length, tension_stiffness=tension_stiffness, compression_stiffness=compression_stiffness
    )
    gap = (compression_alpha - tension_alpha) * temperature_change * length
    return gap / (1.0 / tension_stiffness + 1.0 / compression_stiffness)
