"""Inward buckling of a thin sleeve encased in a stiff shell."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Elastic, Real, require_elastic, require_positive

MIN_THICKNESS_RATIO, MAX_THICKNESS_RATIO = 1.0 / 1000.0, 1.0 / 10.0


def encased_ring_pressure(*, thickness: Real, mean_diameter: Real, sleeve: Elastic) -> Real:
    """Critical external pressure of a thin ring in a rigid cavity, buckling inward in one lobe.

        p_cr = E/(1 - ν²) · (t/D)^2.2

    thickness, mean_diameter: of the sleeve wall, mm; sleeve: (E in MPa, ν). Returns MPa.
    Raises ValueError outside 1/1000 <= t/D <= 1/10: the formula was not checked for thinner walls,
    and a thicker wall is not a thin ring (it yields first).

    Assumes an elastic, frictionless, close-fitting (no gap) and long ring (plane strain). The load is
    a fluid pressure that follows the lobe; the pressure of a press fit vanishes where the wall lifts,
    so the value is conservative for a fit. Yield is a separate check.

    Source: D. Glock, Stahlbau 46 (1977) 212-217, the form from memory. Seen: the abstract of
    Omara, Guice, Straughan and Akl, J. Eng. Mech. 123 (1997) 1294, which finds Glock's model the
    closest to tests. The form follows from the energy of one cos² lobe, whose greatest pressure is
    0.969 EI/R³ (EA R²/EI)^(2/5), or 1.0026 E (t/D)^2.2; the factor is usually rounded to 1.

    >>> round(encased_ring_pressure(thickness=2.0, mean_diameter=37.0, sleeve=(205e3, 0.29)), 1)
    364.9
    """
    require_positive(thickness=thickness, mean_diameter=mean_diameter)
    require_elastic("sleeve", sleeve)
    ratio = thickness / mean_diameter
    low, high = float(np.min(ratio)), float(np.max(ratio))
    if low < MIN_THICKNESS_RATIO or high > MAX_THICKNESS_RATIO:
        raise ValueError(
            f"thickness/mean_diameter = {low:g} to {high:g}: the one-lobe formula is for a thin "
            f"ring, {MIN_THICKNESS_RATIO:g} to {MAX_THICKNESS_RATIO:g}"
        )
    E, nu = sleeve
    return E / (1.0 - nu**2) * ratio**2.2
