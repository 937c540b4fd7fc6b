"""Stress invariants that the multiaxial fatigue criteria use.

The last axis of a stress array holds the components in the order (rr, θθ, zz, rz, rθ, θz), MPa.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

ROUNDS = 3
"""Times that the instant farthest out joins those on which the ball round a long history is sought."""
CLOSE = 1e-3
"""Share by which the radius of a ball may exceed the least there can be."""
ROUNDING = 1e-9
"""Share by which an instant has to lie outside of a ball to count."""


def hydrostatic(stress: ArrayLike) -> Array:
    """Hydrostatic stress: the mean of the three normal stresses.

        σ_H = (σ_rr + σ_θθ + σ_zz)/3

    stress: (..., 6), MPa. Returns (...), MPa. Raises ValueError unless the last axis is 6.

    >>> float(hydrostatic([300.0, 0, 0, 0, 0, 0]))
    100.0
    """
    array = _six(stress)
    total: Array = array[..., 0] + array[..., 1] + array[..., 2]  # ten times as fast as sum(axis=-1)
    return total / 3.0


def deviator(stress: ArrayLike) -> Array:
    """Deviatoric stress with its shear components times √2, so that J2 = |s|²/2.

    stress: (..., 6), MPa. Returns (..., 6), MPa. Raises ValueError unless the last axis is 6.

    >>> bool(abs(np.sum(deviator([0, 0, 0, 10.0, 0, 0]) ** 2) / 2 - 100.0) < 1e-9)
    True
    """
    array = _six(stress)
    found = np.empty_like(array)
    np.subtract(array[..., :3], hydrostatic(array)[..., None], out=found[..., :3])
    np.multiply(np.sqrt(2.0), array[..., 3:], out=found[..., 3:])
    return found


def _six(stress: ArrayLike) -> Array:
    array = np.asarray(stress, dtype=float)
    if array.ndim == 0 or array.shape[-1] != 6:
        raise ValueError(f"stress needs 6 components on its last axis, got shape {array.shape}")
    return array


def sqrt_j2_amplitude(history: ArrayLike, *, iterations: int = 60) -> Array:
    """√J2 amplitude of a stress history: radius of the smallest ball round the deviatoric path, over √2.

        √J2,a = min over centres c of max over t |s(t) - c|/√2

    history: (T, ..., 6), MPa, one cycle. Returns (...), MPa. The result is an upper bound of
    the smallest ball's radius (every centre tried gives one), exact for a proportional path and a few
    percent high for others: in step k of 60 the centre moves 1/(k + 1) of the way to the farthest point.
    Raises ValueError for an empty history. Source: smallest enclosing ball by Bădoiu and Clarkson
    (from memory), started from the midpoint of a long chord. Of a long history the centre is sought on the
    instants at which a component of the deviator is greatest or least and those then found farthest out;
    the radius holds for all.

    >>> swing = np.outer([0.0, 1.0, 0.5], [0, 0, 0, 20.0, 0, 0])
    >>> float(round(sqrt_j2_amplitude(swing), 9))
    10.0
    """
    path = deviator(history)
    if path.ndim < 2 or path.shape[0] == 0:
        raise ValueError("history needs at least one stress on its first axis")
    shape, path = path.shape[1:-1], np.moveaxis(path.reshape(len(path), -1, path.shape[-1]), -1, 0)
    path = np.subtract(path, path[:, :1], order="C")  # squares lose digits far from the origin
    long = path.shape[1] > 2 * len(path)
    radius = _radius_of_long(path, iterations) if long else _ball(path, iterations)[1]
    amplitude: Array = (radius / np.sqrt(2.0)).reshape(shape)[()]
    return amplitude


# Paths are (6, T, points) and centres (6, points) below: numpy is slow over a short last axis.


def _radius_of_long(path: Array, iterations: int) -> Array:
    """Radius (points,) of a small ball round a path, sought on a few of its instants.

    Points whose ball on those holds all the others are done.
    """
    some, square = _extremes(path), _square(path)
    radius, left = np.full(path.shape[-1], np.inf), np.arange(path.shape[-1])
    for _ in range(ROUNDS):
        centre, least = _ball(some, iterations)
        outside, found = _farthest(path, square, centre)
        radius[left] = np.minimum(radius[left], found)
        beyond = found > (1.0 + ROUNDING) * least
        if not beyond.any():
            break
        some = np.concatenate([some, outside[:, None]], axis=1)[..., beyond]
        path, square, left = path[..., beyond], square[:, beyond], left[beyond]
    return radius


def _ball(path: Array, iterations: int) -> tuple[Array, Array]:
    """Centre and radius (points,) of a small ball round a path.

    No ball is smaller than half a chord: points whose ball is as small as that are done.
    """
    square = _square(path)
    one_end = _farthest(path, square, np.zeros_like(path[:, 0]))[0]
    other_end, chord = _farthest(path, square, one_end)
    best = (one_end + other_end) / 2.0
    point, radius = _farthest(path, square, best)
    left = np.flatnonzero(radius > (1.0 + CLOSE) * 0.5 * chord)
    path, square, centre, point = path[..., left], square[:, left], best[:, left], point[:, left]
    for step in range(iterations if len(left) else 0):
        centre = centre + (point - centre) / (step + 2.0)
        point, distance = _farthest(path, square, centre)
        better = distance < radius[left]
        best[:, left[better]], radius[left[better]] = centre[:, better], distance[better]
    return best, radius


def _extremes(path: Array) -> Array:
    """The points of a path at which a component is greatest or least, (6, 12, points)."""
    instants = np.concatenate([np.argmax(path, axis=1), np.argmin(path, axis=1)])
    return np.take_along_axis(path, instants[None], axis=1)


def _square(path: Array) -> Array:
    """|path|², (T, points)."""
    found: Array = np.einsum("itp,itp->tp", path, path)
    return found


def _farthest(path: Array, square: Array, centre: Array) -> tuple[Array, Array]:
    """Point of a path farthest from a centre, (6, points), and its distance, (points,). square: |path|²."""
    away = square - 2.0 * np.einsum("itp,ip->tp", path, centre)
    index, here = np.argmax(away, axis=0), np.arange(path.shape[-1])
    distance = np.sqrt(np.maximum(away[index, here] + np.sum(centre**2, axis=0), 0.0))
    return path[:, index, here], distance
