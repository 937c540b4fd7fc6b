"""Hoop stress of a tube with an eccentric bore under internal pressure."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Real, require_increasing, require_not_negative


def thin_side_hoop(*, a: Real, b: Real, eccentricity: Real, pressure: Real = 1.0) -> Real:
    """Hoop stress at the bore on the thin side of an eccentric tube.

        σ = p [2 b² (b² + a² - 2 a e - e²) / ((a² + b²)(b² - a² - 2 a e - e²)) - 1],   e <= a/2

    a, b: bore and outside radius, mm; eccentricity e: distance of their centres, mm, below b - a;
    pressure: in the bore, MPa. Returns MPa. e = 0 gives Lamé. Raises ValueError outside those ranges.
    Exact for a plane tube under uniform pressure. Source: Jeffery 1921, as given in Timoshenko & Goodier
    (from memory, not seen).

    >>> float(round(thin_side_hoop(a=10.0, b=20.0, eccentricity=0.0, pressure=90.0), 9))
    150.0
    """
    require_increasing(a=a, b=b)
    require_not_negative(eccentricity=eccentricity)
    if np.any(np.asarray(eccentricity) > np.asarray(a) / 2.0) or np.any(eccentricity >= b - a):
        raise ValueError("eccentricity must be at most a/2 and below the wall b - a")
    lean = 2.0 * a * eccentricity + eccentricity**2
    top = 2.0 * b**2 * (b**2 + a**2 - lean)
    return pressure * (top / ((a**2 + b**2) * (b**2 - a**2 - lean)) - 1.0)
