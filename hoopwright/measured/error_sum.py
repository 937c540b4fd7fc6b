"""Distribution of a sum of independent errors, all symmetric about zero.

Bounded errors (rectangular, arcsine, or the product of two rectangular ones) are convolved on a grid that
spans exactly what they can reach. A grid cannot hold Student's t with few degrees of freedom: its tails
reach a thousand times as far as its middle. So normal and t errors are summed as what they are, normal
errors of an unknown variance: t = Z / √W with W = χ²/ν, hence given all W a sum of them is normal, and its
distribution a mixture of normals over the distribution of its variance V, which is integrated over log W.
With R the bounded part (density ρ per cell) and T the mixture,

    F(x) = Σ ρ_j [I(x − e_j) − I(x − e_j+1)],   I(y) = ∫ F_T dy = max(y, 0) + J(|y|),

J being the expected excess of T, E[√V (φ(z) − z Φ(−z))] at z = y/√V. The cells enter with their exact
average, so neither part has to be wide against the steps of the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import asinh, ceil, inf, pi, sqrt
from typing import Literal

import numpy as np
from scipy import special
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import brentq

GRID_CELLS = 4096
"""Cells over twice the range of the bounded part; their width adds < 1e-5 of it to a quantile."""
NEGLIGIBLE = 1e-3
"""A bounded part this small against the mixture is added to its variance: an error of the fourth order."""
LOG_STEP = 0.25
"""Step of the integral over log W; the trapezoidal rule then errs by less than 1e-12."""
LOG_DENSITY_DROP = 28.0
"""Where the density of log W has fallen to e⁻²⁸ of its peak, it ends."""
VARIANCE_BINS_PER_E = 32
"""Bins per factor e of the variance, once several t errors are summed; they err by < 2e-5 of a tail."""
NODE_STEP = 0.03
"""Step of the table of the mixture, in asinh of its argument."""
TABLE_TAIL = 1e-9
"""Probability beyond the table of the mixture."""


@dataclass(frozen=True, order=True)
class Addend:
    """One error of the sum. scale: half-width of a "rectangular" or "arcsine" one, greatest value of a
    "product", standard uncertainty of a "normal" one, with its degrees of freedom."""

    kind: Literal["arcsine", "normal", "product", "rectangular"]
    scale: float
    dof: float = inf

    def bounded_cdf(self, x: np.ndarray) -> np.ndarray:
        """Probability of an error below x, of a bounded one.

        The product of two independent rectangular errors has the density −ln|x/c| / 2c up to its
        greatest value c.
        """
        share = np.clip(x / self.scale, -1.0, 1.0)
        if self.kind == "rectangular":
            return 0.5 + 0.5 * share
        if self.kind == "arcsine":
            return 0.5 + np.arcsin(share) / pi
        return 0.5 + 0.5 * (share - special.xlogy(share, np.abs(share)))

    @property
    def bounded_variance(self) -> float:
        return self.scale**2 / {"rectangular": 3.0, "arcsine": 2.0, "product": 9.0}[self.kind]


@dataclass(frozen=True)
class ErrorSum:
    """Sum of independent errors. An empty one is exactly zero."""

    addends: tuple[Addend, ...]

    def cdf(self, x: np.ndarray) -> np.ndarray:
        """Probability that the sum lies below x."""
        if not self.addends:
            return np.where(x < 0.0, 0.0, 1.0)
        if self._grid is None:
            assert self._mixture is not None
            return self._mixture.cdf(x)
        edges, mass = self._grid
        if self._mixture is None:
            return np.interp(x, edges, np.concatenate([[0.0], np.cumsum(mass)]))
        return np.array(
            [float(self._mixture.integrated_cdf(at - edges) @ self._density_jumps) for at in np.ravel(x)]
        )

    def quantile(self, probability: float) -> float:
        """The sum that is exceeded with a chance of 1 − probability."""
        if probability < 0.5:
            return -self.quantile(1.0 - probability)
        if not self.addends:
            return 0.0
        if self._mixture is None:
            assert self._grid is not None
            edges, mass = self._grid
            return float(np.interp(probability, np.concatenate([[0.0], np.cumsum(mass)]), edges))
        low, high = self._mixture.around_quantile(probability)
        reach = 0.0 if self._grid is None else float(self._grid[0][-1])
        low, high = max(low - reach, 0.0), high + reach  # the bounded part shifts it by no more
        return float(
            brentq(lambda x: float(self.cdf(np.array([x]))[0]) - probability, low, high, xtol=1e-9 * high)
        )

    @cached_property
    def _split(self) -> tuple[tuple[Addend, ...], _Mixture | None]:
        """Bounded errors that go onto the grid, and the mixture of the others."""
        bounded = tuple(a for a in self.addends if a.kind != "normal")
        others = [a for a in self.addends if a.kind == "normal"]
        if not others:
            return bounded, None
        mixture = _mixture(others)
        if sum(a.scale for a in bounded) > NEGLIGIBLE * mixture.scale:
            return bounded, mixture
        return (), _mixture(others, sum(a.bounded_variance for a in bounded))

    @property
    def _mixture(self) -> _Mixture | None:
        return self._split[1]

    @cached_property
    def _density_jumps(self) -> np.ndarray:
        """By how much the density of the bounded part changes at each edge of its cells."""
        assert self._grid is not None
        edges, mass = self._grid
        return np.diff(np.concatenate([[0.0], mass / np.diff(edges), [0.0]]))

    @cached_property
    def _grid(self) -> tuple[np.ndarray, np.ndarray] | None:
        """Edges of the cells of the bounded part, and the probability in each."""
        bounded = self._split[0]
        if not bounded:
            return None
        reach = sum(a.scale for a in bounded)
        step = 4.0 * reach / GRID_CELLS  # twice the range: no wrap-around
        edges = step * (np.arange(GRID_CELLS + 1) - 0.5 * GRID_CELLS - 0.5)  # the middle cell sits on zero
        spectrum = np.ones(GRID_CELLS // 2 + 1, dtype=complex)
        for addend in bounded:
            spectrum *= np.fft.rfft(np.fft.ifftshift(np.diff(addend.bounded_cdf(edges))))
        mass = np.clip(np.fft.fftshift(np.fft.irfft(spectrum, GRID_CELLS)), 0.0, None)
        inside = np.abs(0.5 * (edges[1:] + edges[:-1])) <= reach + step
        first, last = np.flatnonzero(inside)[[0, -1]]
        mass = mass[first : last + 1]
        return edges[first : last + 2], mass / mass.sum()


@dataclass(frozen=True)
class _Mixture:
    """Normal error of an unknown variance. variance, weight: of its components."""

    variance: np.ndarray
    weight: np.ndarray

    @cached_property
    def scale(self) -> float:
        """Standard deviation that one component in a hundred, by weight, lies below."""
        return sqrt(float(self.variance[np.searchsorted(np.cumsum(self.weight), 0.01)]))

    @cached_property
    def _table(self) -> tuple[np.ndarray, CubicHermiteSpline, CubicHermiteSpline]:
        """Nodes from zero on, the probability of more than that, and the expected excess."""
        std = np.sqrt(self.variance)
        beyond = np.cumsum(self.weight[::-1])[::-1]
        widest = float(std[min(np.searchsorted(-beyond, -TABLE_TAIL), len(std) - 1)])
        count = ceil(asinh(8.0 * widest / self.scale) / NODE_STEP) + 1
        nodes = self.scale * np.sinh(NODE_STEP * np.arange(count))
        z = nodes[:, None] / std
        above = special.ndtr(-z)
        density = np.exp(-0.5 * z * z) / sqrt(2.0 * np.pi)
        tail = above @ self.weight
        excess = (density - z * above) @ (self.weight * std)
        return (
            nodes,
            CubicHermiteSpline(nodes, tail, -(density @ (self.weight / std))),
            CubicHermiteSpline(nodes, excess, -tail),
        )

    def cdf(self, x: np.ndarray) -> np.ndarray:
        nodes, tail, _ = self._table
        above = tail(np.minimum(np.abs(x), nodes[-1]))
        return np.where(x < 0.0, above, 1.0 - above)

    def integrated_cdf(self, x: np.ndarray) -> np.ndarray:
        """Integral of the cdf up to x."""
        nodes, _, excess = self._table
        return np.maximum(x, 0.0) + excess(np.minimum(np.abs(x), nodes[-1]))

    def around_quantile(self, probability: float) -> tuple[float, float]:
        """Two nodes between which a quantile of at least 0.5 lies."""
        nodes, tail, _ = self._table
        k = int(np.searchsorted(-tail(nodes), probability - 1.0))
        return float(nodes[max(k - 1, 0)]), float(nodes[min(max(k, 1), len(nodes) - 1)])


def _mixture(addends: Sequence[Addend], more: float = 0.0) -> _Mixture:
    """The sum of normal and t errors, and of a variance `more`."""
    variance = np.array([more + sum(a.scale**2 for a in addends if a.dof == inf)])
    weight = np.ones(1)
    for addend in (a for a in addends if a.dof != inf):
        other, share = _inverse_chi_square(addend.dof)
        variance = np.add.outer(variance, addend.scale**2 * other).ravel()
        weight = np.multiply.outer(weight, share).ravel()
        if len(weight) > len(other):
            variance, weight = _binned(variance, weight)
    order = np.argsort(variance, kind="stable")
    return _Mixture(variance[order], weight[order] / weight.sum())


def _inverse_chi_square(dof: float) -> tuple[np.ndarray, np.ndarray]:
    """ν/χ², the variance of t given W, and its weights.

    With u = log W the density is proportional to exp(ν/2 (u − eᵘ)), largest at u = 0.
    """
    drop = 2.0 * LOG_DENSITY_DROP / dof
    step = min(LOG_STEP, 0.7 * sqrt(2.0 / dof))
    down = ceil((drop + 1.0 if drop > 1.0 else 1.5 * sqrt(2.0 * drop)) / step)
    up = ceil(sqrt(2.0 * drop) / step)
    u = step * np.arange(-down, up + 1)
    weight = np.exp(0.5 * dof * (u - np.expm1(u)))
    return np.exp(-u), weight / weight.sum()


def _binned(variance: np.ndarray, weight: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The same distribution on bins of log variance, each weight shared by the two nearest so that its
    mean stays."""
    counted = weight > 1e-16
    place = VARIANCE_BINS_PER_E * np.log(variance[counted])
    first = int(np.floor(place.min()))
    below = np.floor(place).astype(int) - first
    share = place - np.floor(place)
    bins = np.zeros(below.max() + 2)
    np.add.at(bins, below, weight[counted] * (1.0 - share))
    np.add.at(bins, below + 1, weight[counted] * share)
    at = np.exp((first + np.arange(len(bins))) / VARIANCE_BINS_PER_E)
    return at[bins > 0.0], bins[bins > 0.0]
