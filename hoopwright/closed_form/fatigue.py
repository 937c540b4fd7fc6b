"""Multiaxial fatigue criteria of Crossland and Sines, and the stress invariants they use.

The last axis of a stress array holds the components in the order (rr, θθ, zz, rz, rθ, θz), MPa.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoopwright.closed_form._check import Real, require_not_negative, require_positive

Array = NDArray[np.float64]


def hydrostatic(stress: ArrayLike) -> Array:
    """Hydrostatic stress: the mean of the three normal stresses.

        σ_H = (σ_rr + σ_θθ + σ_zz)/3

    stress: (..., 6), MPa. Returns (...), MPa. Raises ValueError unless the last axis is 6.

    >>> float(hydrostatic([300.0, 0, 0, 0, 0, 0]))
    100.0
    """
    return _six(stress)[..., :3].mean(axis=-1)


def deviator(stress: ArrayLike) -> Array:
    """Deviatoric stress with its shear components times √2, so that J2 = |s|²/2.

    stress: (..., 6), MPa. Returns (..., 6), MPa. Raises ValueError unless the last axis is 6.

    >>> bool(abs(np.sum(deviator([0, 0, 0, 10.0, 0, 0]) ** 2) / 2 - 100.0) < 1e-9)
    True
    """
    array = _six(stress)
    normal = array[..., :3] - hydrostatic(array)[..., None]
    return np.concatenate([normal, np.sqrt(2.0) * array[..., 3:]], axis=-1)


def _six(stress: ArrayLike) -> Array:
    array = np.asarray(stress, dtype=float)
    if array.ndim == 0 or array.shape[-1] != 6:
        raise ValueError(f"stress needs 6 components on its last axis, got shape {array.shape}")
    return array


def sqrt_j2(stress: ArrayLike) -> Array:
    """√J2 of a stress: σ/√3 in plain tension, τ in plain shear.

        J2 = s : s/2

    For proportional loading, pass half of (greatest - least) to get the amplitude.
    stress: (..., 6), MPa. Returns (...), MPa. Source: definition.

    >>> float(round(sqrt_j2([0, 0, 0, 10.0, 0, 0]), 9))
    10.0
    """
    return np.linalg.norm(deviator(stress), axis=-1) / np.sqrt(2.0)


def sqrt_j2_amplitude(history: ArrayLike, *, iterations: int = 60) -> Array:
    """√J2 amplitude of a stress history: radius of the smallest ball round the deviatoric path, over √2.

        √J2,a = min over centres c of max over t |s(t) - c|/√2

    history: (T, ..., 6), MPa, one cycle. Returns (...), MPa. The result is an upper bound of
    the smallest ball's radius (every centre tried gives one), exact for a proportional path and a few
    percent high for others: in step k of 60 the centre moves 1/(k + 1) of the way to the farthest point.
    Raises ValueError for an empty history. Source: smallest enclosing ball by Bădoiu and Clarkson
    (from memory), started from the midpoint of a long chord.

    >>> swing = np.outer([0.0, 1.0, 0.5], [0, 0, 0, 20.0, 0, 0])
    >>> float(round(sqrt_j2_amplitude(swing), 9))
    10.0
    """
    path = deviator(history)
    if path.ndim < 2 or path.shape[0] == 0:
        raise ValueError("history needs at least one stress on its first axis")
    one_end = _farthest(path, path[0])[0]
    other_end, _ = _farthest(path, one_end)
    centre = (one_end + other_end) / 2.0
    _, radius = _farthest(path, centre)
    for step in range(iterations):
        point, _ = _farthest(path, centre)
        centre = centre + (point - centre) / (step + 2.0)
        radius = np.minimum(radius, _farthest(path, centre)[1])
    return radius / np.sqrt(2.0)


def _farthest(path: Array, centre: Array) -> tuple[Array, Array]:
    """Point of the path farthest from a centre, shape (..., 6), and its distance, shape (...)."""
    distance = np.linalg.norm(path - centre, axis=-1)
    index = np.argmax(distance, axis=0)
    point = np.take_along_axis(path, index[None, ..., None], axis=0)[0]
    return point, np.take_along_axis(distance, index[None, ...], axis=0)[0]


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
