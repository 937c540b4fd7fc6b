"""Uncertainty budget: independent error components, each with its distribution, and their sum.

The usual normal approximation of a sum overstates the 95 % interval where one rectangular component
dominates, and understates it where readings are few. Here the densities are convolved on a fine grid
instead, a propagation of distributions in the sense of JCGM 101; the GUM's own figures (combined
standard uncertainty, effective degrees of freedom) are given for the budget.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import inf, sqrt
from typing import Literal

import numpy as np
from scipy import special

GRID_CELLS = 8192
"""Number of grid cells over twice the range of a sum; their width adds < 1e-6 of it to a quantile."""
TAIL_PROBABILITY = 1e-6
"""Probability cut off beyond each end of a component's range on the grid."""
CONFIDENCE = 0.95


@dataclass(frozen=True)
class UncertaintyComponent:
    """One component of the error, with zero mean.

    scale: half-width of a "rectangular" component, standard uncertainty of a "normal" one; mm or any
    consistent unit. dof: degrees of freedom; a normal component with few of them follows a scaled t
    distribution (JCGM 101, 6.4.9). common: what has it in common, the name of a gauge or "part", with all
    lands of a part that it read, or that are as warm; "" where every land has its own.
    """

    name: str
    scale: float
    kind: Literal["rectangular", "normal"] = "rectangular"
    dof: float = inf
    common: str = ""

    @property
    def standard_uncertainty(self) -> float:
        """Standard uncertainty: scale/√3 for a rectangular component (GUM 4.3.7)."""
        return self.scale / sqrt(3.0) if self.kind == "rectangular" else self.scale

    @property
    def half_range(self) -> float:
        """Half-range on the grid, beyond which at most TAIL_PROBABILITY lies on each side."""
        if self.kind == "rectangular":
            return self.scale
        return self.scale * coverage_factor(self.dof, 1.0 - 2.0 * TAIL_PROBABILITY)

    def cdf(self, x: np.ndarray) -> np.ndarray:
        """Cumulative distribution function: probability of an error below x."""
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
class UncertaintyBudget:
    """Error that is the sum of independent components. Those of zero scale are dropped."""

    components: tuple[UncertaintyComponent, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "components", tuple(p for p in self.components if p.scale > 0.0))

    def plus(self, *others: UncertaintyBudget) -> UncertaintyBudget:
        return UncertaintyBudget(self.components + tuple(p for other in others for p in other.components))

    @property
    def standard_uncertainty(self) -> float:
        """Combined standard uncertainty (GUM 5.1.2)."""
        return root_sum_of_squares(p.standard_uncertainty for p in self.components)

    @property
    def dof(self) -> float:
        return effective_dof((p.standard_uncertainty, p.dof) for p in self.components)

    @property
    def limit(self) -> float | None:
        """Greatest possible error: the sum of the half-widths, or None where a component is unbounded."""
        if any(p.kind != "rectangular" for p in self.components):
            return None
        return sum(p.scale for p in self.components)

    def half_width(self, confidence: float = CONFIDENCE) -> float:
        """Half-width of the symmetric interval about zero that contains the error with this confidence."""
        return self.quantile(0.5 + 0.5 * confidence)

    def quantile(self, probability: float) -> float:
        edges, cdf = self._table
        return float(np.interp(probability, cdf, edges))

    def probability(self, low: float, high: float) -> float:
        """Probability of an error between low and high."""
        if not self.components:
            return float(low <= 0.0 <= high)
        edges, cdf = self._table
        return float(np.interp(high, edges, cdf) - np.interp(low, edges, cdf))

    def sample(self, rng: np.random.Generator, count: int) -> np.ndarray:
        total = np.zeros(count)
        for part in self.components:
            total += part.sample(rng, count)
        return total

    @cached_property
    def _table(self) -> tuple[np.ndarray, np.ndarray]:
        """Edges of the grid cells and the cumulative probability at each."""
        if not self.components:
            return np.array([0.0, 0.0]), np.array([0.0, 1.0])
        step = (
            4.0 * sum(p.half_range for p in self.components) / GRID_CELLS
        )  # twice the range: no wrap-around
        edges = step * (np.arange(GRID_CELLS + 1) - 0.5 * GRID_CELLS - 0.5)  # the middle cell sits on zero
        spectrum = np.ones(GRID_CELLS // 2 + 1, dtype=complex)
        for part in self.components:
            spectrum *= np.fft.rfft(np.fft.ifftshift(np.diff(part.cdf(edges))))
        mass = np.clip(np.fft.fftshift(np.fft.irfft(spectrum, GRID_CELLS)), 0.0, None)
        cdf = np.concatenate([[0.0], np.cumsum(mass)])
        return edges, cdf / cdf[-1]


def root_sum_of_squares(standards: Iterable[float]) -> float:
    """Root sum of squares of standard uncertainties, sensitivities included (GUM 5.1.2, Eq. 10)."""
    return sqrt(sum(u * u for u in standards))


def effective_dof(contributions: Iterable[tuple[float, float]]) -> float:
    """Effective degrees of freedom, Welch–Satterthwaite: ν_eff = u_c⁴ / Σ (u_i⁴/ν_i) (GUM G.4.1, Eq. G.2b).

    contributions: (standard uncertainty, degrees of freedom) of each component. Returns inf where all
    degrees of freedom are infinite.
    """
    rows = list(contributions)
    below = sum(u**4 / dof for u, dof in rows)
    return root_sum_of_squares(u for u, _ in rows) ** 4 / below if below > 0.0 else inf


def coverage_factor(dof: float, confidence: float = CONFIDENCE) -> float:
    """Student's t for a two-sided interval (GUM G.3); the normal value for infinite dof."""
    p = 0.5 + 0.5 * confidence
    return float(special.ndtri(p) if dof == inf else special.stdtrit(dof, p))
