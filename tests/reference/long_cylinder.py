"""Radial displacement of a long thin cylinder loaded over part of its length."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Elastic, Real, require_elastic, require_positive


def decay_rate(*, radius: Real, thickness: Real, nu: Real) -> Real:
    """Decay rate β of an edge disturbance along a thin cylinder; 1/β is the decay length.

        β = [3 (1 - ν²)]^(1/4)/√(R t)

    radius: of the mid-wall, mm; thickness: mm. Returns 1/mm.
    Raises ValueError unless radius and thickness are above 0 and 0 <= ν < 0.5.
    Source: thin-shell theory of the axisymmetric cylinder.

    >>> round(float(1.0 / decay_rate(radius=20.75, thickness=2.5, nu=0.33)), 3)
    5.633
    """
    require_positive(radius=radius, thickness=thickness)
    require_elastic("material", (1.0, nu))
    return (3.0 * (1.0 - nu**2)) ** 0.25 / np.sqrt(radius * thickness)


def step_pressure_deflection(
    z: Real, *, pressure: Real, radius: Real, thickness: Real, material: Elastic
) -> Real:
    """Radial displacement of a long thin cylinder with internal pressure on z < 0 only.

        z <= 0:  w = p/(8β⁴D) [2 - e^(βz) cos βz]
        z >= 0:  w = p/(8β⁴D) e^(-βz) cos βz
        D = E t³/[12 (1 - ν²)],   4 β⁴ = E t/(D R²)

    z, radius (mid-wall), thickness: mm; pressure: MPa; material: (E in MPa, ν).
    Returns mm, outward positive. It is accurate to 1 to 2 % for t/R up to about 1/50.
    Raises ValueError for sizes not above 0. Source: beam on elastic foundation; the form of the
    published verification case V3.03.144 of code_aster.

    >>> round(float(step_pressure_deflection(0.0, pressure=1.0, radius=100.0, thickness=1.0,
    ...                                      material=(200e3, 0.3))), 6)
    0.025
    """
    require_positive(radius=radius, thickness=thickness)
    require_elastic("material", material)
    E, nu = material
    distance = np.asarray(z, dtype=float) * decay_rate(radius=radius, thickness=thickness, nu=nu)
    wave = np.exp(-np.abs(distance)) * np.cos(distance)
    half_full = pressure * radius**2 / (2.0 * E * thickness)
    return half_full * np.where(distance <= 0.0, 2.0 - wave, wave)


def band_pressure_deflection(
    z: Real,
    *,
    start: Real,
    end: Real,
    pressure: Real,
    radius: Real,
    thickness: Real,
    material: Elastic,
) -> Real:
    """Radial displacement of a long thin cylinder with internal pressure on start < z < end only.

    The difference of two `step_pressure_deflection`, with the same arguments; start, end: mm.
    The cylinder's ends must lie several decay lengths beyond the band.
    Returns mm, outward positive. Raises ValueError unless start < end. Source: superposition.

    >>> round(float(band_pressure_deflection(0.0, start=-100.0, end=100.0, pressure=1.0,
    ...       radius=100.0, thickness=1.0, material=(200e3, 0.3))), 6)
    0.05
    """
    if not np.all(np.less(start, end)):
        raise ValueError(f"start must lie below end, got {start} and {end} mm")
    upper, lower = (
        step_pressure_deflection(
            np.asarray(z, dtype=float) - edge,
            pressure=pressure,
            radius=radius,
            thickness=thickness,
            material=material,
        )
        for edge in (end, start)
    )
    return upper - lower


def ring_load_deflection(
    z: Real, *, line_load: Real, radius: Real, thickness: Real, material: Elastic
) -> Real:
    """Radial displacement of a long thin cylinder under an outward ring load at z = 0.

        w = P/(8β³D) e^(-β|z|) (cos βz + sin β|z|)

    line_load P: N per mm of circumference; others as in `step_pressure_deflection`.
    Returns mm, outward positive. Source: beam on elastic foundation (Timoshenko and
    Woinowsky-Krieger, from memory, not seen).

    >>> round(float(ring_load_deflection(0.0, line_load=1.0, radius=100.0, thickness=1.0,
    ...                                  material=(200e3, 0.3))), 7)
    0.0032135
    """
    require_elastic("material", material)
    E, nu = material
    beta = decay_rate(radius=radius, thickness=thickness, nu=nu)
    bending = E * thickness**3 / (12.0 * (1.0 - nu**2))
    distance = np.abs(np.asarray(z, dtype=float)) * beta
    wave = np.exp(-distance) * (np.cos(distance) + np.sin(distance))
    return line_load / (8.0 * beta**3 * bending) * wave
