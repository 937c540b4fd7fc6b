"""Linearised hoop stress (membrane, bending, peak) of a wall under pressure, from Lamé."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.closed_form._check import Real, require_increasing
from hoopwright.closed_form.lame import lame_constants


@dataclass(frozen=True)
class Linearised:
    """Hoop stress linearised along a straight line from bore to outside, MPa.

    membrane: mean over the thickness.
    bending: at the bore, of the linear distribution with the same moment; negated at the outside.
    peak: stress at the bore less membrane + bending.
    radial_membrane: mean radial stress over the thickness.
    """

    membrane: Real
    bending: Real
    peak: Real
    radial_membrane: Real


def lame_linearised(*, a: Real, b: Real, p_i: Real = 0.0, p_o: Real = 0.0) -> Linearised:
    """Membrane, bending and peak hoop stress of a cylinder under pressure.

        membrane = A + B/(ab) = (p_i a - p_o b)/t,   radial membrane = A - B/(ab)
        bending at the bore = (6/t²) B [r_m (1/a - 1/b) - ln(b/a)]
        t = b - a,   r_m = (a + b)/2,   A and B as in `lame_constants`

    a, b: mm; p_i, p_o: MPa, compression positive. Returns MPa. Raises ValueError for radii out of
    order. Source: line integrals as in ASME VIII-2 Annex 5-A (from memory, not seen), evaluated
    analytically for Lamé's stress.

    >>> wall = lame_linearised(a=1.0, b=1.5, p_i=1.0)
    >>> round(wall.membrane, 9), round(float(wall.bending), 5), round(wall.radial_membrane, 9)
    (2.0, 0.48391, -0.4)
    """
    require_increasing(a=a, b=b)
    A, B = lame_constants(a=a, b=b, p_i=p_i, p_o=p_o)
    thickness, middle = b - a, (a + b) / 2.0
    membrane = A + B / (a * b)
    moment = B * (middle * (1.0 / a - 1.0 / b) - np.log(b / a))
    bending = 6.0 * moment / thickness**2
    return Linearised(
        membrane=membrane,
        bending=bending,
        peak=A + B / a**2 - membrane - bending,
        radial_membrane=A - B / (a * b),
    )
