"""Graded mesh lines: element length as a function of distance from points of refinement."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Focus:
    """A point of mesh refinement: position and element length there, mm."""

    position: float
    size: float


def decay_length(radius: float, wall: float, poisson_ratio: float) -> float:
    """Length, mm, over which an edge disturbance in a cylindrical shell decays by a factor 1/e.

        1/β = √(R t) / [3 (1 − ν²)]^¼

    radius: mean radius R, mm; wall: t, mm. Source: Timoshenko & Woinowsky-Krieger, Theory of
    Plates and Shells, cylindrical shells loaded symmetrically (from memory, not seen).
    """
    return float(np.sqrt(radius * wall) / (3.0 * (1.0 - poisson_ratio**2)) ** 0.25)


def graded_lines(
    breaks: Sequence[float], foci: Sequence[Focus], *, largest: float, growth: float
) -> np.ndarray:
    """Mesh lines, mm, in ascending order, that include every break and follow the element-length field

        h(z) = min(largest, min over foci of (size + growth |z − position|)).

    Between neighbouring breaks the lines are spaced at equal increments of ∫ dz / h.
    """
    lines = [np.array([breaks[0]])]
    for a, b in zip(breaks[:-1], breaks[1:], strict=True):
        z = np.unique(np.concatenate([np.linspace(a, b, 201), _clustered(a, b, foci)]))
        h = np.full_like(z, largest)
        for focus in foci:
            h = np.minimum(h, focus.size + growth * np.abs(z - focus.position))
        steps = np.diff(z) * 0.5 * (1.0 / h[1:] + 1.0 / h[:-1])
        count = np.concatenate([[0.0], np.cumsum(steps)])
        n = max(1, int(np.ceil(count[-1] - 1e-9)))
        inner = np.interp(np.linspace(0.0, count[-1], n + 1)[1:-1], count, z)
        lines += [inner, np.array([b])]
    return np.concatenate(lines)


def _clustered(a: float, b: float, foci: Sequence[Focus]) -> np.ndarray:
    """Sampling points in (a, b) clustered at the foci, so that ∫ dz / h is well resolved there."""
    reach = np.geomspace(1e-3, 1.0, 60) * (b - a)
    near = [np.concatenate([f.position + reach, f.position - reach, [f.position]]) for f in foci]
    if not near:
        return np.empty(0)
    z = np.concatenate(near)
    return z[(z > a) & (z < b)]
