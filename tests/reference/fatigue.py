"""Fatigue of one stress cycle: multiaxial criteria, mean-stress corrections, constants of an S-N curve."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoopwright.closed_form._check import Real, require_not_negative, require_positive
from hoopwright.closed_form.fatigue import deviator

Array = NDArray[np.float64]


def sqrt_j2(stress: ArrayLike) -> Array:
    """√J2 of a stress: σ/√3 in plain tension, τ in plain shear.

        J2 = s : s/2

    For proportional loading, pass half of (greatest - least) to get the amplitude.
    stress: (..., 6), MPa. Returns (...), MPa. Source: definition.

    >>> float(round(sqrt_j2([0, 0, 0, 10.0, 0, 0]), 9))
    10.0
    """
    return np.linalg.norm(deviator(stress), axis=-1) / np.sqrt(2.0)


def crossland_slope(*, bending_limit: Real, torsion_limit: Real) -> Real:
    """Crossland's coefficient of the hydrostatic stress, from two fully reversed limits.

        k = 3 t/s - √3

    bending_limit s (or push-pull), torsion_limit t: amplitudes at R = -1 for the required life, MPa.
    Dimensionless. Raises ValueError unless both are above 0 and s/√3 <= t, below which
    hydrostatic tension would raise the fatigue strength. Source: Crossland 1956, from memory, not seen.

    >>> round(float(crossland_slope(bending_limit=200.0, torsion_limit=120.0)), 5)
    0.06795
    """
    require_positive(bending_limit=bending_limit, torsion_limit=torsion_limit)
    slope = 3.0 * torsion_limit / bending_limit - np.sqrt(3.0)
    if np.any(slope < -1e-9):
        raise ValueError("torsion_limit must be at least bending_limit/√3 for a ductile metal")
    return np.maximum(slope, 0.0)


def crossland_stress(
    *, sqrt_j2_amplitude: Real, hydrostatic_max: Real, bending_limit: Real, torsion_limit: Real
) -> Real:
    """Crossland's equivalent shear stress, to be compared with the torsion limit.

        √J2,a + k σ_H,max <= t,   k as in `crossland_slope`

    sqrt_j2_amplitude, hydrostatic_max (greatest σ_H in the cycle): MPa; limits and source as there.
    Returns MPa.

    >>> round(float(crossland_stress(sqrt_j2_amplitude=200.0 / 3**0.5, hydrostatic_max=200.0 / 3,
    ...       bending_limit=200.0, torsion_limit=120.0)), 9)
    120.0
    """
    require_not_negative(sqrt_j2_amplitude=sqrt_j2_amplitude)
    slope = crossland_slope(bending_limit=bending_limit, torsion_limit=torsion_limit)
    return sqrt_j2_amplitude + slope * hydrostatic_max


def sines_slope(*, torsion_limit: Real, repeated_limit: Real) -> Real:
    """Sines's coefficient of the mean hydrostatic stress, from reversed torsion and repeated bending.

        k = 3 t/f - √3

    torsion_limit t: amplitude at R = -1, MPa; repeated_limit f: amplitude of bending at R = 0 (half
    of the greatest stress), MPa. Dimensionless. Raises ValueError unless f/√3 <= t.
    Source: Sines 1959, from memory, not seen.

    >>> round(float(sines_slope(torsion_limit=115.47, repeated_limit=150.0)), 4)
    0.5773
    """
    require_positive(torsion_limit=torsion_limit, repeated_limit=repeated_limit)
    slope = 3.0 * torsion_limit / repeated_limit - np.sqrt(3.0)
    if np.any(slope < -1e-9):
        raise ValueError("torsion_limit must be at least repeated_limit/√3")
    return np.maximum(slope, 0.0)


def sines_stress(
    *, sqrt_j2_amplitude: Real, hydrostatic_mean: Real, torsion_limit: Real, repeated_limit: Real
) -> Real:
    """Sines's equivalent shear stress, to be compared with the torsion limit.

        √J2,a + k σ_H,mean <= t,   k as in `sines_slope`

    sqrt_j2_amplitude, hydrostatic_mean (mean of σ_H over the cycle): MPa; limits and source as there.
    Returns MPa.

    >>> round(float(sines_stress(sqrt_j2_amplitude=150.0 / 3**0.5, hydrostatic_mean=50.0,
    ...       torsion_limit=115.47, repeated_limit=150.0)), 2)
    115.47
    """
    require_not_negative(sqrt_j2_amplitude=sqrt_j2_amplitude)
    slope = sines_slope(torsion_limit=torsion_limit, repeated_limit=repeated_limit)
    return sqrt_j2_amplitude + slope * hydrostatic_mean


def goodman_utilisation(
    *, amplitude: Real, mean: Real, endurance_limit: Real, tensile_strength: Real
) -> Real:
    """Utilisation of a stress cycle by Goodman's line: 1 is the limit.

        use = σ_a/S_e + σ_m/S_u

    amplitude, mean, endurance_limit S_e (R = -1), tensile_strength S_u: MPa. A compressive mean
    counts as zero, so no credit is taken for it. Raises ValueError for a negative amplitude.
    Source: Goodman, in any machine-design book.

    >>> goodman_utilisation(amplitude=50.0, mean=150.0, endurance_limit=100.0, tensile_strength=300.0)
    1.0
    """
    require_not_negative(amplitude=amplitude)
    require_positive(endurance_limit=endurance_limit, tensile_strength=tensile_strength)
    use = amplitude / endurance_limit + np.maximum(mean, 0.0) / tensile_strength
    return float(use) if np.ndim(use) == 0 else use


def swt_amplitude(*, amplitude: Real, mean: Real) -> Real:
    """Equivalent fully reversed amplitude of a cycle with a mean stress (Smith, Watson, Topper).

        σ_ar = √(σ_max σ_a),   σ_max = σ_m + σ_a;  0 when σ_max <= 0

    amplitude, mean: MPa. Returns MPa. Raises ValueError for a negative amplitude.
    Source: Smith, Watson and Topper 1970, from memory, not seen.

    >>> float(swt_amplitude(amplitude=80.0, mean=100.0))
    120.0
    """
    require_not_negative(amplitude=amplitude)
    return np.sqrt(np.maximum(mean + amplitude, 0.0) * amplitude)


def walker_amplitude(*, stress_max: Real, stress_ratio: Real, gamma: Real) -> Real:
    """Equivalent fully reversed amplitude of a cycle of stress ratio R (Walker).

        σ_ar = σ_max ((1 - R)/2)^γ;   γ = ½ is Smith, Watson, Topper

    stress_max: MPa, at least 0; stress_ratio R = σ_min/σ_max, at most 1; gamma in [0, 1].
    Returns MPa. Raises ValueError outside those ranges. Source: Walker 1970, from memory, not seen.

    >>> walker_amplitude(stress_max=180.0, stress_ratio=-1.0, gamma=0.65)
    180.0
    """
    require_not_negative(stress_max=stress_max)
    if not np.all(np.less_equal(stress_ratio, 1.0) & np.isfinite(stress_ratio)):
        raise ValueError("stress_ratio = least/greatest stress must be at most 1")
    if not np.all(np.greater_equal(gamma, 0.0) & np.less_equal(gamma, 1.0)):
        raise ValueError("gamma must be in [0, 1]")
    return stress_max * ((1.0 - stress_ratio) / 2.0) ** gamma


class SNConstants(NamedTuple):
    """The four constants of an S-N curve as `hoopwright.closed_form.fatigue_life` takes them, a4 in ksi."""

    a1: float
    a2: float
    a3: float
    a4: float
