"""A cubic through values and slopes, and the root of a function of one variable.

As in scipy.interpolate and scipy.optimize, whose import takes longer than all that is asked of them here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Cubic:
    """The piecewise cubic through values at nodes, with given slopes there (Hermite's form); nodes, values,
    slopes: (n,), nodes rising. Beyond the nodes the last cubic goes on."""

    nodes: np.ndarray
    values: np.ndarray
    slopes: np.ndarray

    def __call__(self, x: np.ndarray) -> np.ndarray:
        """Its value at x, of any shape."""
        k = np.clip(np.searchsorted(self.nodes, x, side="right") - 1, 0, len(self.nodes) - 2)
        width = self.nodes[k + 1] - self.nodes[k]
        t = (x - self.nodes[k]) / width
        before, after = (1.0 + 2.0 * t) * (1.0 - t) ** 2, t * t * (3.0 - 2.0 * t)
        leaving, arriving = width * t * (1.0 - t) ** 2, width * t * t * (t - 1.0)
        return np.asarray(
            before * self.values[k]
            + after * self.values[k + 1]
            + leaving * self.slopes[k]
            + arriving * self.slopes[k + 1]
        )


def root(function: Callable[[float], float], low: float, high: float, tolerance: float) -> float:
    """Where a function changes its sign between low and high, within a tolerance.

    Inverse quadratic interpolation where three points allow it, else halving: Chandrupatla, Advances in
    Engineering Software 28 (1997) 145 (from memory, not seen). ValueError for one sign at both ends.

    >>> round(root(lambda x: x * x - 2.0, 0.0, 2.0, 1e-12), 9)
    1.414213562
    """
    a, b, c = high, low, high
    fa, fb = function(a), function(b)
    fc, share = fa, 0.5
    if fa * fb > 0.0:
        raise ValueError("the function has one sign at both ends")
    while fa != 0.0 and fb != 0.0:
        at = a + share * (b - a)
        value = function(at)
        if value * fa > 0.0:
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = at, value
        least = 0.5 * tolerance / abs(b - a) if b != a else 1.0
        if least > 0.5:
            break
        place, level = (a - b) / (c - b), (fa - fb) / (fc - fb)
        share = 0.5
        if level**2 < place and (1.0 - level) ** 2 < 1.0 - place:
            share = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        share = min(max(share, least), 1.0 - least)
    return a if abs(fa) < abs(fb) else b
