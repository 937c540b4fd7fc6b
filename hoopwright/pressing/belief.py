"""What a pressing tells about the fit: interference and friction given the readings, by Bayes' rule.

Before the readings: the interference as the sizes leave it (its own distribution), and sliding friction
anywhere between the case's low and high, evenly in ln μ. A reading of the force is

    F_i = g μ N_i(shift, μ) (1 + scatter) + reading error,   g: the gauge's own scale, common to all

with normal errors, so that the covariance of the readings is D + U Uᵀ: D = diag(division² + scatter² F²),
one column of U for the scale of the gauge and, where the lands are several, one for the error that the
leading land has of its own while it is alone in the mouth. A force by itself gives only the product of
friction and pressure; what splits it is the sizes, the range of friction, and a profile of interference
along the lands.
Source: Bayes' rule; Woodbury's formula for the inverse of the covariance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from hoopwright.measured.distribution import Errors
from hoopwright.pressing.course import Course

CELLS = 160
MOST_READINGS = 60
CONFIDENCE = 0.95
SURPRISE = 1e-3
"""Probability before the readings below which they contradict sizes and friction taken together."""
SAMPLES = 20_000


@dataclass(frozen=True)
class Closure:
    """How much smaller the sleeve's bore became, mm, known to a standard deviation; at_nominal and
    per_shift: what the model says of it at any shift of the interference."""

    observed: float
    standard: float
    at_nominal: float
    per_shift: float

    def off(self, shift: np.ndarray) -> np.ndarray:
        """Observed less expected, in standard deviations."""
        return (self.observed - self.at_nominal - self.per_shift * shift) / self.standard


@dataclass(frozen=True)
class Readings:
    """travel: mm; force: N; both (n,). division: standard deviation of one reading, N. accuracy:
    standard deviation of the gauge's scale; scatter: of friction along the way; both as shares.
    lands: standard deviation, mm, by which the leading land's fit in the mouth may be off beside the shift
    common to all lands; 0 where there is one land. closure: a reading of the sleeve's bore, or None."""

    travel: np.ndarray
    force: np.ndarray
    division: float
    accuracy: float
    scatter: float

    lands: float = 0.0
    closure: Closure | None = None

    def thinned(self) -> Readings:
        """About MOST_READINGS of them, evenly along the travel, and the greatest: neighbours share their
        scatter, and would only pretend to be independent."""
        if len(self.travel) <= MOST_READINGS:
            return self
        evenly = np.linspace(0, len(self.travel) - 1, MOST_READINGS).round().astype(int)
        keep = np.unique([*evenly, int(np.argmax(self.force))])
        return replace(self, travel=self.travel[keep], force=self.force[keep])


@dataclass(frozen=True)
class Span:
    """Central 95 % interval and median."""

    low: float
    middle: float
    high: float


class Predictor:
    """Pressing force at the travels of the readings for any shift (mm) and friction."""

    def __init__(self, course: Course, travel: np.ndarray) -> None:
        self.shifts = np.array(course.shifts)
        at = np.array([p.frictionless for p in course.positions])
        squeeze = np.array([p.squeeze for p in course.positions])
        self.normal = np.array([np.interp(travel, course.travel, column) for column in at.T])
        self.squeeze = np.interp(travel, course.travel, squeeze)
        self.early = travel < last_land_enters(course)

    def force(self, shift: np.ndarray, friction: np.ndarray) -> np.ndarray:
        """(..., readings), N, for shift and friction of one shape."""
        order, share, _ = _between(np.ravel(shift), self.shifts)
        normal = self.normal[order] + share[:, None] * (self.normal[order + 1] - self.normal[order])
        return self._grip(friction, np.maximum(normal, 0.0), np.shape(shift))

    def leading(self, shift: np.ndarray, friction: np.ndarray) -> np.ndarray:
        """Force per mm by which the leading land's own fit is off while it is alone, (..., readings)."""
        order, _, width = _between(np.ravel(shift), self.shifts)
        slope = (self.normal[order + 1] - self.normal[order]) / width[:, None]
        return self._grip(friction, slope * self.early, np.shape(shift))

    def _grip(self, friction: np.ndarray, normal: np.ndarray, shape: tuple[int, ...]) -> np.ndarray:
        mu = np.ravel(friction)[:, None]
        return (mu * (1.0 + self.squeeze * mu) * normal).reshape((*shape, len(self.squeeze)))


def _between(x: np.ndarray, at: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Interval of `at` that holds x, how far along it, and its width; straight on beyond the ends."""
    order = np.clip(np.searchsorted(at, x, side="right") - 1, 0, len(at) - 2)
    width = at[order + 1] - at[order]
    width = np.where(width > 0.0, width, np.inf)
    return order, (x - at[order]) / width, width


def last_land_enters(course: Course) -> float:
    """Travel, mm, at which the trailing land reaches the mouth of the shell; 0 with a single land."""
    lands, home = course.case.sleeve.outside, course.positions[-1].travel
    if len(lands) == 1:
        return 0.0
    length = sum(land.length for land in (lands[1:] if course.enters_from == "left" else lands[:-1]))
    return min(length, home)


class Belief:
    """Interference and friction before and after the readings, on a grid of cells.

    errors: of the interference, mm. frictions: lowest and highest sliding friction. cells: of the grid,
    each way.
    """

    def __init__(self, predictor: Predictor, errors: Errors, frictions: tuple[float, float], *,
                 cells: int = CELLS) -> None:
        self.predictor = predictor
        half = max(errors.half_width(0.99999), 1e-9)
        self.shift_edges = np.linspace(-half, half, cells + 1)
        self.friction_edges = np.geomspace(frictions[0], max(frictions[1], frictions[0] * (1.0 + 1e-9)),
                                           cells + 1)
        self.shift = 0.5 * (self.shift_edges[1:] + self.shift_edges[:-1])
        self.friction = np.sqrt(self.friction_edges[1:] * self.friction_edges[:-1])
        self.prior = np.array([errors.probability(a, b) for a, b in
                               zip(self.shift_edges[:-1], self.shift_edges[1:], strict=True)])
        self.prior /= self.prior.sum()

    @cached_property
    def forces(self) -> np.ndarray:
        """(shift cells, friction cells, readings), N."""
        shift, friction = np.meshgrid(self.shift, self.friction, indexing="ij")
        return self.predictor.force(shift, friction)

    @cached_property
    def leading(self) -> np.ndarray:
        """Force per mm of the leading land's own error, as `forces`."""
        shift, friction = np.meshgrid(self.shift, self.friction, indexing="ij")
        return self.predictor.leading(shift, friction)

    def log_likelihood(self, readings: Readings) -> np.ndarray:
        """(shift cells, friction cells), up to a constant."""
        f = self.forces
        spread = readings.division**2 + (readings.scatter * f) ** 2
        off = readings.force - f
        total = np.sum(off**2 / spread + np.log(spread), axis=-1)
        gauge = readings.accuracy * f
        a, p = 1.0 + np.sum(gauge**2 / spread, axis=-1), np.sum(gauge * off / spread, axis=-1)
        if readings.lands > 0.0 and np.any(self.predictor.early):
            land = readings.lands * self.leading
            c, q = 1.0 + np.sum(land**2 / spread, axis=-1), np.sum(land * off / spread, axis=-1)
            b = np.sum(gauge * land / spread, axis=-1)
            det = a * c - b * b
            total += np.log(det) - (c * p * p - 2.0 * b * p * q + a * q * q) / det
        else:
            total += np.log(a) - p * p / a
        if readings.closure is not None:
            total += (readings.closure.off(self.shift) ** 2)[:, None]
        return -0.5 * total

    def after(self, readings: Readings) -> Posterior:
        log = self.log_likelihood(readings)
        weight = np.exp(log - log.max()) * self.prior[:, None]
        return Posterior(self, weight / weight.sum())


@dataclass(frozen=True)
class Posterior:
    """weight: (shift cells, friction cells), probability of each cell."""

    belief: Belief
    weight: np.ndarray

    @property
    def shift(self) -> Span:
        """Of the diametral interference from nominal, mm."""
        return _span(self.belief.shift_edges, self.weight.sum(axis=1))

    @property
    def friction(self) -> Span:
        span = _span(np.log(self.belief.friction_edges), self.weight.sum(axis=0))
        return Span(*(float(np.exp(v)) for v in (span.low, span.middle, span.high)))

    def force(self, predictor: Predictor, index: int = -1) -> Span:
        """Of the pressing force at one travel of a predictor, N: what the noise leaves of it."""
        shift, friction = np.meshgrid(self.belief.shift, self.belief.friction, indexing="ij")
        value = predictor.force(shift, friction)[..., index].ravel()
        value, weight = value[order := np.argsort(value)], self.weight.ravel()[order]
        cumulative = np.cumsum(weight)
        tails = 0.5 * (1.0 - CONFIDENCE)
        at = np.minimum(np.searchsorted(cumulative, (tails, 0.5, 1.0 - tails)), len(value) - 1)
        return Span(*value[at].tolist())


def _span(edges: np.ndarray, mass: np.ndarray) -> Span:
    cumulative = np.concatenate([[0.0], np.cumsum(mass)])
    tails = 0.5 * (1.0 - CONFIDENCE)
    low, middle, high = (float(np.interp(q, cumulative / cumulative[-1], edges))
                         for q in (tails, 0.5, 1.0 - tails))
    return Span(low, middle, high)


def surprise(belief: Belief, errors: Errors, readings: Readings, *, seed: int = 3) -> float:
    """How seldom, before any reading, a peak as far from the expected one would be met: the smaller
    tail of the predicted peaks (sizes, friction and gauge drawn together), doubled. 0 to 1."""
    rng = np.random.default_rng(seed)
    shift = errors.sample(rng, SAMPLES)
    lowest, highest = np.log(belief.friction_edges[0]), np.log(belief.friction_edges[-1])
    friction = np.exp(rng.uniform(lowest, highest, SAMPLES))
    k = int(np.argmax(readings.force))
    predicted = belief.predictor.force(shift, friction)[:, k]
    noise = np.hypot(readings.division, predicted * np.hypot(readings.accuracy, readings.scatter))
    seen = predicted + noise * rng.standard_normal(SAMPLES)
    above = float(np.mean(seen >= readings.force[k]))
    return 2.0 * min(above, 1.0 - above)


def closure_surprise(errors: Errors, closure: Closure, *, seed: int = 3) -> float:
    """The same for the reading of the bore closure."""
    rng = np.random.default_rng(seed)
    off = closure.off(errors.sample(rng, SAMPLES)) + rng.standard_normal(SAMPLES)
    above = float(np.mean(off >= 0.0))
    return 2.0 * min(above, 1.0 - above)


def simulated(
    predictor: Predictor, *, shift: float, friction: float, travel: np.ndarray, division: float,
    accuracy: float, scatter: float, rng: np.random.Generator,
) -> Readings:
    """A noisy log of a pressing with a known fit: for trying the method out."""
    true = predictor.force(np.array([shift]), np.array([friction]))[0]
    scale = 1.0 + accuracy * rng.standard_normal()
    own = true * (scale + scatter * rng.standard_normal(len(true)))
    return Readings(travel, own + division * rng.standard_normal(len(true)), division, accuracy, scatter)
