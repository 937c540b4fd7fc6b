"""A sleeve that slides along a flush bore with friction, which squeezes or stretches both walls."""

from __future__ import annotations

from math import pi

import numpy as np

from hoopwright.closed_form._check import Elastic, Real, require_not_negative, require_positive
from hoopwright.closed_form.compound_cylinder import contact_pressure

STATIONS = 2001


def sliding_force(
    *,
    length: float,
    friction: float,
    radial_interference: Real,
    sleeve_bore_radius: float,
    interface_radius: float,
    shell_outer_radius: float,
    sleeve: Elastic,
    shell: Elastic,
    pushed: bool,
) -> float:
    """Axial force at which a sleeve slides along a bore of its own length.

        c p = δ + a_o N_o − a_i N_i,   c = δ/p_Lamé,   a = ν R/(E A),   Q(z) = 2π R μ ∫ p dz

        pulled:  N_i = Q,          N_o = −Q   →  c p = δ − (a_i + a_o) Q
        pushed:  N_i = −(F − Q),   N_o = −Q   →  c p = δ + a_i F − (a_i + a_o) Q

        dQ/dz = 2π R μ p,   k = 2π R μ (a_i + a_o)/c,   F = Q(L)
        pulled:  F = 2π R μ/c ∫ e^(−k (L − z)) δ dz

    pulled: by the face that leads, out of a shell that bears on the face where the sleeve comes out;
    pushed: by the face that trails, into a shell that bears on the face ahead. N: axial forces of sleeve
    (i) and shell (o), tension positive; z: from the face that trails. radial_interference δ: one value, or
    at even steps of z. Lengths in mm, N, MPa; materials as (E, ν). Returns N. Raises ValueError unless
    length is above 0 and friction not below. Slices in plane stress, no bending; contact everywhere.
    Source: equilibrium of slices, derived.

    >>> pair = {"interface_radius": 19.5, "sleeve_bore_radius": 17.45, "shell_outer_radius": 22.0,
    ...         "sleeve": (205e3, 0.29), "shell": (69e3, 0.33)}
    >>> seat = pair | {"length": 73.0, "friction": 0.1, "radial_interference": 0.020}
    >>> round(sliding_force(**seat, pushed=True)), round(sliding_force(**seat, pushed=False))
    (5325, 5166)
    """
    require_positive(length=length)
    require_not_negative(friction=friction)
    rings = {
        "sleeve_bore_radius": sleeve_bore_radius,
        "interface_radius": interface_radius,
        "shell_outer_radius": shell_outer_radius,
    }
    compliance = 1.0 / contact_pressure(radial_interference=1.0, **rings, sleeve=sleeve, shell=shell)
    inner, outer = (
        nu * interface_radius / (E * pi * (b**2 - a**2))
        for (E, nu), a, b in (
            (sleeve, sleeve_bore_radius, interface_radius),
            (shell, interface_radius, shell_outer_radius),
        )
    )
    drag = 2.0 * pi * interface_radius * friction / compliance
    even = np.atleast_1d(radial_interference)
    z = np.linspace(0.0, length, STATIONS)
    delta = np.interp(z, np.linspace(0.0, length, len(even)), even)
    faded = np.exp(-drag * (inner + outer) * (length - z))
    force = drag * np.trapezoid(faded * delta, z)
    return float(force / (1.0 - drag * inner * np.trapezoid(faded, z)) if pushed else force)
