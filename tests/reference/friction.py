"""Force and torque that friction carries in a press fit of uniform pressure."""

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
