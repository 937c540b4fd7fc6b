"""Uncertainty budget: independent error components, each with its distribution, and their sum.

The usual normal approximation of a sum overstates the 95 % interval where one rectangular component
dominates, and understates it where readings are few. Here the distributions themselves are summed instead
(error_sum.py), a propagation of distributions in the sense of JCGM 101; the GUM's own figures (combined
standard uncertainty, effective degrees of freedom) are given for the budget.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from math import inf, pi, sqrt
from typing import Literal

import numpy as np
from scipy import special

from hoopwright.measured.error_sum import Addend, ErrorSum

CONFIDENCE = 0.95
SCALE_OVER_STANDARD = {"rectangular": sqrt(3.0), "normal": 1.0, "arcsine": sqrt(2.0), "product": 3.0}
SUMS_CACHED = 256
"""Sums whose tables are stored: the same ones are asked for in many places of a case."""


@dataclass(frozen=True)
class UncertaintyComponent:
    """One component of the error, with zero mean.

    scale: half-width of a "rectangular" component and of an "arcsine" one (the cosine of an angle that
    nobody knows), standard uncertainty of a "normal" one, greatest value of a "product" of two rectangular
    errors; mm or any consistent unit. dof: degrees of freedom; a normal component with few of them follows
    a scaled t distribution (JCGM 101, 6.4.9). common: its cause, where that is the same in other lands of
    the part: the error of a gauge, of a temperature or of an expansion; "" where every land has its own.
    """

    name: str
    scale: float
    kind: Literal["rectangular", "normal", "arcsine", "product"] = "rectangular"
    dof: float = inf
    common: str = ""

    @property
    def standard_uncertainty(self) -> float:
        """Standard uncertainty: scale/√3 for a rectangular component (GUM 4.3.7), so scale/3 for the
        product of two, and scale/√2 for an arcsine one (JCGM 101, 6.4.6, from memory, not seen)."""
        return self.scale / SCALE_OVER_STANDARD[self.kind]

    def sample(self, rng: np.random.Generator, count: int) -> np.ndarray:
        if self.kind == "rectangular":
            return self.scale * (2.0 * rng.random(count) - 1.0)
        if self.kind == "arcsine":
            return self.scale * np.cos(2.0 * pi * rng.random(count))
        if self.kind == "product":
            return self.scale * (2.0 * rng.random(count) - 1.0) * (2.0 * rng.random(count) - 1.0)
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
        if any(p.kind == "normal" for p in self.components):
            return None
        return sum(p.scale for p in self.components)

    def half_width(self, confidence: float = CONFIDENCE) -> float:
        """Half-width of the symmetric interval about zero that contains the error with this confidence."""
        return self.quantile(0.5 + 0.5 * confidence)

    def quantile(self, probability: float) -> float:
        return _quantile(self._addends, probability)

    def probability(self, low: float, high: float) -> float:
        """Probability of an error between low and high."""
        if not self.components:
            return float(low <= 0.0 <= high)
        below_low, below_high = _error_sum(self._addends).cdf(np.array([low, high]))
        return float(below_high - below_low)

    def sample(self, rng: np.random.Generator, count: int) -> np.ndarray:
        total = np.zeros(count)
        for part in self.components:
            total += part.sample(rng, count)
        return total

    @property
    def _addends(self) -> tuple[Addend, ...]:
        """The components without their names, in an order of their own, so that the sum does not depend on
        the order in which they were listed."""
        return tuple(sorted(Addend(p.kind, p.scale, p.dof) for p in self.components))


@lru_cache(maxsize=SUMS_CACHED)
def _error_sum(addends: tuple[Addend, ...]) -> ErrorSum:
    return ErrorSum(addends)


@lru_cache(maxsize=SUMS_CACHED)
def _quantile(addends: tuple[Addend, ...], probability: float) -> float:
    return _error_sum(addends).quantile(probability)


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
