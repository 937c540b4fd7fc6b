"""Posterior of interference and friction given force readings, by Bayes' rule on a grid.

Prior: the distribution of the interference that follows from the sizes, and sliding friction log-uniform
between the low and the high value of the case. A reading of the force is

    F_i = g μ N_i(shift, μ) (1 + scatter) + reading error,   g: the gauge's own scale, common to all

with normal errors, so that the covariance of the readings is D + U Uᵀ: D = diag(reading_std² +
friction_std² F²), one column of U for the scale of the gauge and, with several lands, one for the leading
land's own error while it alone is engaged. A force by itself determines only the product of friction and
pressure; the sizes, the range of friction and a varying interference along the lands separate the two.
Source: Bayes' rule; Woodbury's formula for the inverse of the covariance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from scipy.optimize import brentq

from hoopwright.geometry.land import at_end
from hoopwright.measured.uncertainty_budget import UncertaintyBudget
from hoopwright.pressing.force_travel import ForceTravel

GRID_CELLS = 160
MAX_READINGS = 60
CONFIDENCE = 0.95
SPANNED_SHARE = 0.99999
"""Share of the distribution of the interference that the grid spans."""
NORMAL_SPAN = 2.3
"""How many times as far as its 95 % interval a normal distribution is spanned, in equal cells."""
MIN_P_VALUE = 1e-3
"""Prior predictive p-value below which readings contradict the sizes and the friction given."""
SAMPLES, SEED = 20_000, 3


@dataclass(frozen=True)
class Closure:
    """A reading of the sleeve's bore closure, mm, with its standard uncertainty, mm.

    at_nominal, per_shift: closure of the model at nominal interference, mm, and its change per mm of shift.
    """

    observed: float
    standard: float
    at_nominal: float
    per_shift: float

    def off(self, shift: np.ndarray) -> np.ndarray:
        """Standardised residual: observed less expected closure, in standard uncertainties."""
        return (self.observed - self.at_nominal - self.per_shift * shift) / self.standard


@dataclass(frozen=True)
class Readings:
    """Force readings with their standard uncertainties.

    travel: mm; force: N; both (n,). reading_std: standard uncertainty of one reading, N. gauge_scale_std:
    relative standard uncertainty of the gauge's scale. friction_std: relative standard deviation of
    friction along the travel. lands: standard deviation of the leading land's own interference at the
    mouth, beside the shift common to all lands, mm; 0 with one land. closure: a reading of the sleeve's
    bore, or None.
    """

    travel: np.ndarray
    force: np.ndarray
    reading_std: float
    gauge_scale_std: float
    friction_std: float

    lands: float = 0.0
    closure: Closure | None = None

    def thinned(self) -> Readings:
        """About MAX_READINGS readings, evenly chosen, with the greatest among them. Neighbouring readings
        are correlated through the scatter of friction; using all as independent would be overconfident."""
        if len(self.travel) <= MAX_READINGS:
            return self
        evenly = np.linspace(0, len(self.travel) - 1, MAX_READINGS).round().astype(int)
        keep = np.unique([*evenly, int(np.argmax(self.force))])
        return self.only(keep)

    def only(self, chosen: np.ndarray) -> Readings:
        """Some of the readings, by a mask or by their numbers."""
        return replace(self, travel=self.travel[chosen], force=self.force[chosen])


@dataclass(frozen=True)
class CredibleInterval:
    """Central 95 % interval, and the median (middle)."""

    low: float
    median: float
    high: float


class Predictor:
    """Pressing force at given travels for any shift of the interference, mm, and any friction, yielding
    counted."""

    def __init__(self, force_travel: ForceTravel, travel: np.ndarray) -> None:
        self.shifts = np.array(force_travel.shifts)
        at = np.array([p.frictionless for p in force_travel.positions]) * force_travel.yield_share
        push_gain = np.array([p.push_gain for p in force_travel.positions])
        self.normal = np.array([np.interp(travel, force_travel.travel, column) for column in at.T])
        self.push_gain = np.interp(travel, force_travel.travel, push_gain)
        self.early = travel < last_land_enters(force_travel)

    def force(self, shift: np.ndarray, friction: np.ndarray) -> np.ndarray:
        """Force, (..., readings), N, for shift and friction of one shape."""
        index, share, _ = _between(np.ravel(shift), self.shifts)
        normal = self.normal[index] + share[:, None] * (self.normal[index + 1] - self.normal[index])
        return self._sliding_force(friction, np.maximum(normal, 0.0), np.shape(shift))

    def leading(self, shift: np.ndarray, friction: np.ndarray) -> np.ndarray:
        """Change of force per mm error of the leading land's own interference, (..., readings), N/mm; 0
        once the trailing land enters."""
        index, _, width = _between(np.ravel(shift), self.shifts)
        slope = (self.normal[index + 1] - self.normal[index]) / width[:, None]
        return self._sliding_force(friction, slope * self.early, np.shape(shift))

    def _sliding_force(
        self, friction: np.ndarray, normal: np.ndarray, shape: tuple[int, ...]
    ) -> np.ndarray:
        mu = np.ravel(friction)[:, None]
        return (mu * (1.0 + self.push_gain * mu) * normal).reshape((*shape, len(self.push_gain)))


def _graded(half_width: float, span: float, cells: int) -> np.ndarray:
    """Edges of the cells over ± span: equal ones, or where the distribution has far longer tails than a
    normal one, as t with few degrees of freedom, growing outwards, as fine in the middle as those would be.

    half_width: of the 95 % interval. The edges are span · sinh(g u) / sinh(g), u from −1 to 1.
    """
    u = np.linspace(-1.0, 1.0, cells + 1)
    finer = span / (NORMAL_SPAN * half_width)
    if finer <= 1.0:
        return span * u
    growth = float(brentq(lambda g: np.log(np.sinh(g) / g) - np.log(finer), 1e-6, 600.0))
    edges: np.ndarray = span * np.sinh(growth * u) / np.sinh(growth)
    return edges


def _between(x: np.ndarray, at: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Index, relative position and width of the interval of `at` that holds x; the end intervals
    extrapolate."""
    index = np.clip(np.searchsorted(at, x, side="right") - 1, 0, len(at) - 2)
    width = at[index + 1] - at[index]
    width = np.where(width > 0.0, width, np.inf)
    return index, (x - at[index]) / width, width


def last_land_enters(force_travel: ForceTravel) -> float:
    """Travel, mm, at which the trailing land reaches the mouth of the shell; 0 with a single land."""
    lands, home = force_travel.case.sleeve.blank.outside, force_travel.positions[-1].travel
    if len(lands) == 1:
        return 0.0
    trailing = at_end(lands, force_travel.enters_from)
    length = sum(land.length for land in lands if land is not trailing)
    return min(length, home)


class PosteriorGrid:
    """Prior of interference and friction on a grid, and the posterior given readings.

    errors: of the interference, mm; off: what they are about, a shift from likely, mm. frictions: lowest
    and highest sliding friction. cells: number of cells in each direction.
    """

    def __init__(
        self,
        predictor: Predictor,
        errors: UncertaintyBudget,
        frictions: tuple[float, float],
        *,
        off: float = 0.0,
        cells: int = GRID_CELLS,
    ) -> None:
        self.predictor, self.off = predictor, off
        about = _graded(
            max(errors.half_width(CONFIDENCE), 1e-9), max(errors.half_width(SPANNED_SHARE), 1e-9), cells
        )
        self.shift_edges = off + about
        self.friction_edges = np.geomspace(
            frictions[0], max(frictions[1], frictions[0] * (1.0 + 1e-9)), cells + 1
        )
        self.shift = 0.5 * (self.shift_edges[1:] + self.shift_edges[:-1])
        self.friction = np.sqrt(self.friction_edges[1:] * self.friction_edges[:-1])
        self.prior = np.array(
            [errors.probability(a, b) for a, b in zip(about[:-1], about[1:], strict=True)]
        )
        self.prior /= self.prior.sum()

    @cached_property
    def forces(self) -> np.ndarray:
        """Predicted force in every cell, (shift cells, friction cells, readings), N."""
        shift, friction = np.meshgrid(self.shift, self.friction, indexing="ij")
        return self.predictor.force(shift, friction)

    @cached_property
    def leading(self) -> np.ndarray:
        """Change of force per mm of the leading land's own error, N/mm, shaped like `forces`."""
        shift, friction = np.meshgrid(self.shift, self.friction, indexing="ij")
        return self.predictor.leading(shift, friction)

    def log_likelihood(self, readings: Readings) -> np.ndarray:
        """Log-likelihood of the readings in every cell, (shift cells, friction cells), up to a constant."""
        f = self.forces
        variance = readings.reading_std**2 + (readings.friction_std * f) ** 2
        off = readings.force - f
        total = np.sum(off**2 / variance + np.log(variance), axis=-1)
        gauge = readings.gauge_scale_std * f
        a, p = 1.0 + np.sum(gauge**2 / variance, axis=-1), np.sum(gauge * off / variance, axis=-1)
        if readings.lands > 0.0 and np.any(self.predictor.early):
            land = readings.lands * self.leading
            c, q = 1.0 + np.sum(land**2 / variance, axis=-1), np.sum(land * off / variance, axis=-1)
            b = np.sum(gauge * land / variance, axis=-1)
            det = a * c - b * b
            total += np.log(det) - (c * p * p - 2.0 * b * p * q + a * q * q) / det
        else:
            total += np.log(a) - p * p / a
        if readings.closure is not None:
            total += (readings.closure.off(self.shift) ** 2)[:, None]
        return -0.5 * total

    def posterior(self, readings: Readings) -> Posterior:
        """The posterior given the readings."""
        log = self.log_likelihood(readings)
        weight = np.exp(log - log.max()) * self.prior[:, None]
        return Posterior(self, weight / weight.sum())


@dataclass(frozen=True)
class Posterior:
    """Posterior on the grid. weight: probability of each cell, (shift cells, friction cells)."""

    grid: PosteriorGrid
    weight: np.ndarray

    @property
    def shift(self) -> CredibleInterval:
        """95 % interval of the shift of the diametral interference from nominal, mm."""
        return _central_interval(self.grid.shift_edges, self.weight.sum(axis=1))

    @property
    def friction(self) -> CredibleInterval:
        """95 % interval of the sliding friction."""
        interval = _central_interval(np.log(self.grid.friction_edges), self.weight.sum(axis=0))
        return CredibleInterval(*(float(np.exp(v)) for v in (interval.low, interval.median, interval.high)))

    def force(self, predictor: Predictor, index: int = -1) -> CredibleInterval:
        """95 % interval of the pressing force at one travel of a predictor, without reading noise, N."""
        shift, friction = np.meshgrid(self.grid.shift, self.grid.friction, indexing="ij")
        value = predictor.force(shift, friction)[..., index].ravel()
        value, weight = value[order := np.argsort(value)], self.weight.ravel()[order]
        cumulative = np.cumsum(weight)
        tails = 0.5 * (1.0 - CONFIDENCE)
        at = np.minimum(np.searchsorted(cumulative, (tails, 0.5, 1.0 - tails)), len(value) - 1)
        return CredibleInterval(*value[at].tolist())


def _central_interval(edges: np.ndarray, mass: np.ndarray) -> CredibleInterval:
    cumulative = np.concatenate([[0.0], np.cumsum(mass)])
    tails = 0.5 * (1.0 - CONFIDENCE)
    low, median, high = (
        float(np.interp(q, cumulative / cumulative[-1], edges)) for q in (tails, 0.5, 1.0 - tails)
    )
    return CredibleInterval(low, median, high)


def peak_p_value(grid: PosteriorGrid, errors: UncertaintyBudget, readings: Readings) -> float:
    """Two-sided prior predictive p-value of the greatest reading, 0 to 1: twice the smaller tail of the
    predicted readings, with sizes, friction and gauge error sampled together."""
    rng = np.random.default_rng(SEED)
    shift = grid.off + errors.sample(rng, SAMPLES)
    lowest, highest = np.log(grid.friction_edges[0]), np.log(grid.friction_edges[-1])
    friction = np.exp(rng.uniform(lowest, highest, SAMPLES))
    k = int(np.argmax(readings.force))
    predicted = grid.predictor.force(shift, friction)[:, k]
    noise = np.hypot(
        readings.reading_std, predicted * np.hypot(readings.gauge_scale_std, readings.friction_std)
    )
    simulated = predicted + noise * rng.standard_normal(SAMPLES)
    above = float(np.mean(simulated >= readings.force[k]))
    return 2.0 * min(above, 1.0 - above)


def closure_p_value(grid: PosteriorGrid, errors: UncertaintyBudget, closure: Closure) -> float:
    """Two-sided prior predictive p-value of the reading of the bore closure."""
    rng = np.random.default_rng(SEED)
    off = closure.off(grid.off + errors.sample(rng, SAMPLES)) + rng.standard_normal(SAMPLES)
    above = float(np.mean(off >= 0.0))
    return 2.0 * min(above, 1.0 - above)
