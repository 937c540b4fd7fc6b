"""Errors that add up: each part with its distribution, their sum by exact convolution.

The usual normal approximation of a sum overstates the 95 % interval where one rectangular part leads,
and understates it where readings are few. Here the densities are convolved on a fine grid instead, as
JCGM 101 asks of the propagation of distributions; the GUM's own figures (combined standard
uncertainty, effective degrees of freedom) come along for the budget.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import inf, sqrt
from typing import Literal

import numpy as np
from scipy import special

CELLS = 8192
"""Of the grid over the whole range of a sum; its width adds less than 1e-6 of the range to a quantile."""
TAIL = 1e-6
"""Probability left beyond each end of a part's range on the grid."""
CONFIDENCE = 0.95


@dataclass(frozen=True)
class Part:
    """One source of error, zero on average.

    scale: half-width of a "rectangular" part, standard uncertainty of a "normal" one; mm or any one
    unit. A normal part with few degrees of freedom is distributed as scaled t (JCGM 101, 6.4.9).
    """

    name: str
    scale: float
    kind: Literal["rectangular", "normal"] = "rectangular"
    dof: float = inf

    @property
    def standard(self) -> float:
        """Standard uncertainty in the sense of the GUM: scale/√3 for a rectangle (GUM 4.3.7)."""
        return self.scale / sqrt(3.0) if self.kind == "rectangular" else self.scale

    @property
    def reach(self) -> float:
        """Beyond ± this lies at most TAIL on each side."""
        if self.kind == "rectangular":
            return self.scale
        return self.scale * coverage_factor(self.dof, 1.0 - 2.0 * TAIL)

    def cumulative(self, x: np.ndarray) -> np.ndarray:
        """Probability of an error below x."""
        if self.kind == "rectangular":
            return np.clip(0.5 + 0.5 * x / self.scale, 0.0, 1.0)
        return special.ndtr(x / self.scale) if self.dof == inf else special.stdtr(self.dof, x / self.scale)

    def sample(self, rng: np.random.Generator, count: int) -> np.ndarray:
        if self.kind == "rectangular":
            return self.scale * (2.0 * rng.random(count) - 1.0)
        return self.scale * (
            rng.standard_normal(count) if self.dof == inf else rng.standard_t(self.dof, count)
        )


@dataclass(frozen=True)
class Errors:
    """A sum of independent parts."""

    parts: tuple[Part, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "parts", tuple(p for p in self.parts if p.scale > 0.0))

    def plus(self, *others: Errors) -> Errors:
        return Errors(self.parts + tuple(p for other in others for p in other.parts))

    @property
    def standard(self) -> float:
        """Combined standard uncertainty (GUM 5.1.2)."""
        return combined(p.standard for p in self.parts)

    @property
    def dof(self) -> float:
        return effective_dof((p.standard, p.dof) for p in self.parts)

    @property
    def limit(self) -> float | None:
        """Half-width that is never exceeded: the sum of the rectangles; None where a part has no limit."""
        if any(p.kind != "rectangular" for p in self.parts):
            return None
        return sum(p.scale for p in self.parts)

    def half_width(self, confidence: float = CONFIDENCE) -> float:
        """Symmetric interval about zero that holds the error with this probability."""
        return self.quantile(0.5 + 0.5 * confidence)

    def quantile(self, probability: float) -> float:
        edges, cumulative = self._table
        return float(np.interp(probability, cumulative, edges))

    def probability(self, low: float, high: float) -> float:
        """Of an error between low and high."""
        if not self.parts:
            return float(low <= 0.0 <= high)
        edges, cumulative = self._table
        return float(np.interp(high, edges, cumulative) - np.interp(low, edges, cumulative))

    def sample(self, rng: np.random.Generator, count: int) -> np.ndarray:
        total = np.zeros(count)
        for part in self.parts:
            total += part.sample(rng, count)
        return total

    @cached_property
    def _table(self) -> tuple[np.ndarray, np.ndarray]:
        """Edges of the cells and the cumulative probability at them."""
        if not self.parts:
            return np.array([0.0, 0.0]), np.array([0.0, 1.0])
        step = 4.0 * sum(p.reach for p in self.parts) / CELLS  # twice the range: nothing wraps round
        edges = step * (np.arange(CELLS + 1) - 0.5 * CELLS - 0.5)  # the middle cell sits on zero
        spectrum = np.ones(CELLS // 2 + 1, dtype=complex)
        for part in self.parts:
            spectrum *= np.fft.rfft(np.fft.ifftshift(np.diff(part.cumulative(edges))))
        mass = np.clip(np.fft.fftshift(np.fft.irfft(spectrum, CELLS)), 0.0, None)
        cumulative = np.concatenate([[0.0], np.cumsum(mass)])
        return edges, cumulative / cumulative[-1]


def combined(standards: Iterable[float]) -> float:
    """Root sum of squares of standard uncertainties, sensitivity included (GUM 5.1.2, Eq. 10)."""
    return sqrt(sum(u * u for u in standards))


def effective_dof(contributions: Iterable[tuple[float, float]]) -> float:
    """Welch–Satterthwaite: ν_eff = u_c⁴ / Σ (u_i⁴/ν_i) (GUM G.4.1, Eq. G.2b).

    contributions: (standard uncertainty, degrees of freedom) of each part. inf where none is limited.
    """
    rows = list(contributions)
    below = sum(u**4 / dof for u, dof in rows)
    return combined(u for u, _ in rows) ** 4 / below if below > 0.0 else inf


def coverage_factor(dof: float, confidence: float = CONFIDENCE) -> float:
    """Student's t for a two-sided interval (GUM G.3); the normal value for unlimited dof."""
    p = 0.5 + 0.5 * confidence
    return float(special.ndtri(p) if dof == inf else special.stdtrit(dof, p))
