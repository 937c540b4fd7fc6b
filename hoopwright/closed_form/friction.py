"""Friction in a press fit: interference lost to it, load on the seat, press gauge reading of a force."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Real, require_not_negative, require_positive


def smoothing_loss(*, rz_outer: Real, rz_inner: Real, smoothing: Real) -> Real:
    """Diametral interference lost as pressing flattens the roughness of both surfaces.

        loss = s (Rz_outer + Rz_inner)

    rz_outer, rz_inner: mean peak-to-valley height of the shell bore and of the sleeve outside, in
    the unit of the result (mm inside the tool); smoothing s: share of their sum that is flattened,
    0.8 in the source. Raises ValueError below 0. Source: DIN 7190-1 (from memory, not seen).

    >>> round(smoothing_loss(rz_outer=0.0063, rz_inner=0.004, smoothing=0.8), 5)
    0.00824
    """
    require_not_negative(rz_outer=rz_outer, rz_inner=rz_inner, smoothing=smoothing)
    return smoothing * (rz_outer + rz_inner)


def slip_resultant(*, axial_force: Real, torque: Real, diameter: Real) -> Real:
    """Resultant of an axial force and a torque on the contact, to be compared with μ ∫ p dA.

        R = √(F² + (2T/d)²)

    axial_force: N; torque: N·mm; diameter: mm. Returns N. Friction opposes the resultant, so the
    joint slips when R reaches μ ∫ p dA. Raises ValueError unless diameter is above 0.
    Source: Coulomb friction; statics.

    >>> slip_resultant(axial_force=300.0, torque=8000.0, diameter=40.0)
    500.0
    """
    require_positive(diameter=diameter)
    resultant = np.hypot(axial_force, 2.0 * torque / diameter)
    return float(resultant) if np.ndim(resultant) == 0 else resultant


def gauge_pressure(*, force: Real, ram_diameter: Real) -> Real:
    """Gauge reading of a hydraulic press at a ram force, piston friction neglected.

        p = F/(π D²/4)

    force: N; ram_diameter: mm. Returns MPa (1 MPa is 10 bar or 145 psi).
    Raises ValueError unless ram_diameter is above 0. Source: statics.

    >>> round(gauge_pressure(force=10000.0, ram_diameter=40.0), 3)
    7.958
    """
    require_positive(ram_diameter=ram_diameter)
    return force / (np.pi * ram_diameter**2 / 4.0)


def ram_force(*, gauge: Real, ram_diameter: Real) -> Real:
    """Ram force at a gauge reading: the inverse of `gauge_pressure`.

        F = p π D²/4

    gauge: MPa; ram_diameter: mm. Returns N. Raises ValueError unless ram_diameter is above 0.
    Source: statics.

    >>> round(ram_force(gauge=7.958, ram_diameter=40.0))
    10000
    """
    require_positive(ram_diameter=ram_diameter)
    return gauge * np.pi * ram_diameter**2 / 4.0
