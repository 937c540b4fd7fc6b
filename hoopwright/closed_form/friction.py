"""Force and torque that friction carries in a press fit, and the press gauge reading of a force."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Real, require_not_negative, require_positive


def press_out_force(*, diameter: Real, length: Real, friction: Real, pressure: Real) -> Real:
    """Axial force at which a pressed joint slips.

        F = π d L μ p

    diameter, length: of the contact, mm; friction: μ; pressure: mean contact pressure, MPa.
    Returns N. Raises ValueError for a negative input. Uniform pressure, no end effect.
    Source: statics; the form of DIN 7190-1 (from memory, not seen).

    >>> round(press_out_force(diameter=140.0, length=40.0, friction=0.15, pressure=56.8) / 1e3, 1)
    149.9
    """
    require_positive(diameter=diameter)
    require_not_negative(length=length, friction=friction, pressure=pressure)
    return np.pi * diameter * length * friction * pressure


def slip_torque(*, diameter: Real, length: Real, friction: Real, pressure: Real) -> Real:
    """Torque at which a pressed joint slips.

        T = π d² L μ p/2

    Arguments as in `press_out_force`. Returns N·mm. Raises ValueError for a negative input.
    Source: statics; the form of DIN 7190-1 (from memory, not seen).

    >>> round(slip_torque(diameter=39.0, length=40.0, friction=0.1, pressure=6.0) / 1e3, 2)
    57.34
    """
    force = press_out_force(diameter=diameter, length=length, friction=friction, pressure=pressure)
    return force * diameter / 2.0


def friction_from_force(*, force: Real, diameter: Real, length: Real, pressure: Real) -> Real:
    """Friction coefficient inferred from a measured press force: the inverse of `press_out_force`.

        μ = F/(π d L p)

    force: N at the travel where the contact is `length` long; other arguments as in `press_out_force`.
    Returns μ. Raises ValueError unless diameter, length and pressure are above 0. Source: statics.

    >>> round(friction_from_force(force=5000.0, diameter=39.0, length=40.0, pressure=6.0), 4)
    0.17
    """
    require_positive(diameter=diameter, length=length, pressure=pressure)
    require_not_negative(force=force)
    return force / (np.pi * diameter * length * pressure)


def smoothing_loss(*, rz_outer: Real, rz_inner: Real) -> Real:
    """Diametral interference lost as pressing flattens the roughness of both surfaces.

        loss = 0.8 (Rz_outer + Rz_inner)

    rz_outer, rz_inner: mean peak-to-valley height of the shell bore and of the sleeve outside, in
    the unit of the result (mm inside the tool). Raises ValueError below 0.
    Source: DIN 7190-1 (from memory, not seen).

    >>> round(smoothing_loss(rz_outer=0.0063, rz_inner=0.004), 5)
    0.00824
    """
    require_not_negative(rz_outer=rz_outer, rz_inner=rz_inner)
    return 0.8 * (rz_outer + rz_inner)


def slip_resultant(*, axial_force: Real, torque: Real, diameter: Real) -> Real:
    """Resultant of an axial force and a torque on the contact, to be compared with `press_out_force`.

        R = √(F² + (2T/d)²)

    axial_force: N; torque: N·mm; diameter: mm. Returns N. Friction opposes the resultant, so the
    joint slips when R reaches π d L μ p. Raises ValueError unless diameter is above 0.
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
