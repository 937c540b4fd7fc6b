"""The peak of a field between the angles at which it was summed."""

from __future__ import annotations

import numpy as np

LEAST_ANGLES = 8


def between_angles(values: np.ndarray, theta: np.ndarray, k: int) -> tuple[float, float]:
    """The greatest value of the parabola through the greatest of values round the circle and its two
    neighbours, and its angle in degrees.

    values: at theta, rad, (angles,), the greatest at k. Angles that are no whole circle of even steps are
    taken as they are. On steps of h the peak of cos nθ is too low by up to (n h)²/8, by this only to
    (n h)⁴/128.
    """
    here, at = float(values[k]), float(np.degrees(theta[k]))
    step = 2.0 * np.pi / len(theta)
    even = len(theta) >= LEAST_ANGLES and abs(theta[-1] - theta[0] + step - 2.0 * np.pi) < 1e-9
    before, after = (float(values[(k + way) % len(values)]) for way in (-1, 1))
    bend = 2.0 * here - before - after
    if not even or not 0.0 < bend < np.inf:
        return here, at
    place = 0.5 * (after - before) / bend
    return here + 0.25 * (after - before) * place, (at + float(np.degrees(step)) * place) % 360.0


def vertex(before: np.ndarray, here: np.ndarray, after: np.ndarray) -> np.ndarray:
    """The extreme value of the parabola through three values in even steps, where the middle one is the
    greatest or the least of them; else the middle one."""
    bend, slope = 2.0 * here - before - after, after - before
    extreme = (np.abs(slope) <= np.abs(bend)) & (bend != 0.0)
    return here + np.where(extreme, slope**2 / (8.0 * np.where(extreme, bend, 1.0)), 0.0)
