"""Lamé's thick cylinders, written independently of `hoopwright.closed_form`."""

from __future__ import annotations

import numpy as np

from hoopwright.fem import Elastic


def lame_stress(r: np.ndarray, *, bore: float, outside: float, pressure: float) -> np.ndarray:
    """σ_rr and σ_θθ under bore pressure, stacked on a first axis, at radii r.

    r, bore, outside: radii, mm; pressure: MPa, compression positive.
    Source: Timoshenko & Goodier, Theory of Elasticity, thick cylinders (from memory, not seen).
    """
    constant = pressure * bore**2 / (outside**2 - bore**2)
    pole = constant * outside**2
    return np.stack([constant - pole / r**2, constant + pole / r**2])


def press_fit_pressure(
    interference: float,
    *,
    bore: float,
    joint_diameter: float,
    outside: float,
    sleeve: Elastic,
    shell: Elastic,
) -> float:
    """Contact pressure, MPa, of a press fit in plane stress, all lengths diameters in mm.

        p = δ / {c [(c² + a²)/(c² − a²) − ν_i]/E_i + c [(b² + c²)/(b² − c²) + ν_o]/E_o}

    Source: Timoshenko & Goodier, Theory of Elasticity, thick cylinders (from memory, not seen).
    """
    a, c, b = bore, joint_diameter, outside
    inner = ((c**2 + a**2) / (c**2 - a**2) - sleeve.poisson_ratio) / sleeve.young_modulus
    outer = ((b**2 + c**2) / (b**2 - c**2) + shell.poisson_ratio) / shell.young_modulus
    return interference / (c * (inner + outer))
