"""Whether a press log has the shape that one friction and the sizes give it.

The residuals of the log from the fit that it speaks for most are held against one kind of misfit after
another: a slope (friction that falls or rises along the travel), a zero (the same force on every reading),
a jump (a step from some travel on, or one reading by itself). With h the change of the readings that a
misfit of size one makes, r the residuals and C their covariance, its size and its standardised size are

    hᵀ C⁻¹ r / hᵀ C⁻¹ h,        hᵀ C⁻¹ r / √(hᵀ C⁻¹ h)

and the latter is standard normal in a log without that misfit (score test, generalised least squares). C
holds what a sound log may do: errors of reading, friction that scatters from reading to reading and, with
part of that scatter, from stretch to stretch, the level of the force, which is judged elsewhere, the errors
of the sizes, and travel counted from a place slightly off.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import special
from scipy.linalg import solve_triangular

from hoopwright.measured.uncertainty_budget import UncertaintyBudget
from hoopwright.pressing.force_travel import ForceTravel
from hoopwright.pressing.posterior import PosteriorGrid, Predictor, Readings

Kind = Literal["slope", "zero", "jump", "one reading", "shape"]

LIMITS: dict[Kind, float] = {"slope": 2.4, "zero": 2.5, "jump": 3.1, "one reading": 3.7}
"""Standardised size above which a misfit of a kind is said to be there; higher for kinds that are looked
for at many places. Together they speak up in at most 5 % of sound logs: measured, see
tests/studies/presses.py."""
RESTART_LIMIT = 3.2
"""The same of one reading that may be a restart, which is set aside and takes nothing but force away."""
SHAPE_P_VALUE = 1e-3
"""Probability of the whole of the residuals below which a log does not fit, whatever the kind."""
MIN_READINGS = 5
MIN_SIDE = 2
"""Readings on either side of a step."""
MAX_RESTARTS = 3
"""Readings that may be set aside as restarts of a sleeve that had come to rest."""
RESTART_SPREAD = 0.1
"""Share by which a restart may lie above the restart ratio of the case: the restart ratio is no
constant."""
STRETCH = 0.07
"""Length over which friction keeps its deviation, as a share of the travel; common practice, no source."""
STRETCHED = 0.5
"""Variance of friction from stretch to stretch, as a share of that from reading to reading."""
TRAVEL_ZERO = 0.004
"""Standard uncertainty of where travel is counted from, as a share of it; common practice, no source."""
FLOOR = 0.003
"""Least standard uncertainty of a reading, as a share of the greatest: no gauge is read more finely."""
ANY_LEVEL = 10.0
"""Relative standard deviation that leaves the level of the force free."""


@dataclass(frozen=True)
class Misfit:
    """How a log departs from what one friction and the sizes explain.

    size: of a slope, the change of friction over the whole travel as a share of it; of a zero, N; of a jump
    or one reading, the change as a share of the force; None of a shape at large. travel: where a jump is,
    mm, else None. standardised: size over its standard uncertainty; of a shape, of the whole of the
    residuals.
    """

    kind: Kind
    size: float | None
    travel: float | None
    standardised: float


@dataclass(frozen=True)
class Shape:
    """What became of the shape of a log. used: without the readings that were set aside. restarts: travel
    of those, mm. misfit: None where it fits."""

    used: Readings
    restarts: tuple[float, ...]
    misfit: Misfit | None


def shape_of(
    force_travel: ForceTravel,
    errors: UncertaintyBudget,
    grid: PosteriorGrid,
    readings: Readings,
) -> Shape:
    """The misfit of a log; single readings a restart high are set aside first. grid: of these readings."""
    if len(readings.travel) < 3:
        return Shape(readings, (), None)
    sound = _Sound.of(force_travel, errors, grid, readings)
    restart = force_travel.case.press.restart_ratio - 1.0 + RESTART_SPREAD
    remaining, restarts = np.full(len(readings.travel), True), list[float]()
    while True:
        found, at = _worst(
            sound.only(remaining),
            np.flatnonzero(remaining),
            restart if len(restarts) < MAX_RESTARTS else 0.0,
        )
        if found is None or not _restarts(found.kind, found.size, restart) or len(restarts) == MAX_RESTARTS:
            break
        remaining[at] = False
        restarts.append(float(readings.travel[at]))
    return Shape(readings.only(remaining), tuple(sorted(restarts)), found)


@dataclass(frozen=True)
class _Sound:
    """What a sound log may do. force: expected, (n,), N. common: columns of errors common to many readings,
    each in standard uncertainties, (n, columns), N, as a share of the greatest force where so stated."""

    readings: Readings
    home: float
    force: np.ndarray
    common: np.ndarray

    @classmethod
    def of(
        cls,
        force_travel: ForceTravel,
        errors: UncertaintyBudget,
        grid: PosteriorGrid,
        readings: Readings,
    ) -> _Sound:
        with np.errstate(divide="ignore"):
            likely = grid.log_likelihood(readings) + np.log(grid.prior)[:, None]
        i, j = np.unravel_index(int(np.argmax(likely)), likely.shape)
        shift, friction = grid.shift[i : i + 1], grid.friction[j : j + 1]
        home = float(force_travel.travel[-1])
        step = TRAVEL_ZERO * home
        sides = (
            Predictor(force_travel, np.clip(readings.travel + s, 0.0, home)).force(shift, friction)[0]
            for s in (-step, step)
        )
        before, after = sides
        spread = errors.standard_uncertainty
        looser, tighter = (grid.predictor.force(shift + s, friction)[0] for s in (-spread, spread))
        leading = readings.lands * grid.predictor.leading(shift, friction)[0]
        columns = (0.5 * (after - before), 0.5 * (tighter - looser), leading)
        return cls(readings, home, grid.forces[i, j], np.array(columns).T)

    def only(self, remaining: np.ndarray) -> _Sound:
        return _Sound(
            self.readings.only(remaining), self.home, self.force[remaining], self.common[remaining]
        )

    def levelled(self) -> tuple[np.ndarray, float]:
        """The expected force at the level of the readings, N, and that level over what was expected."""
        read, scatter = self.readings, self.readings.friction_std * self.force
        weight = 1.0 / (read.reading_std**2 + scatter**2 + self._floor**2)
        squares = float(np.sum(weight * self.force**2))
        level = float(np.sum(weight * read.force * self.force)) / squares if squares > 0.0 else 1.0
        return level * self.force, level

    @property
    def _floor(self) -> float:
        return FLOOR * float(self.readings.force.max())

    def covariance(self, force: np.ndarray, level: float) -> np.ndarray:
        """Of the residuals, (n, n), N². force: expected, at its level."""
        read = self.readings
        scatter = read.friction_std * np.maximum(force, 0.0)
        apart = np.abs(np.subtract.outer(read.travel, read.travel)) / (STRETCH * self.home)
        stretched = STRETCHED * np.outer(scatter, scatter) * np.exp(-apart)
        columns = np.column_stack([level * self.common, ANY_LEVEL * force])
        single = read.reading_std**2 + scatter**2 + self._floor**2
        return np.diag(single) + stretched + columns @ columns.T


def _restarts(kind: Kind, size: float | None, restart: float) -> bool:
    """Whether a misfit is what a sleeve does that starts again after a rest."""
    return kind == "one reading" and size is not None and 0.0 < size <= restart


def _worst(sound: _Sound, numbers: np.ndarray, restart: float) -> tuple[Misfit | None, int]:
    """The misfit that lies farthest above its limit, None where none does, and the number of its reading.

    numbers: of the readings that are left. restart: share by which one of them may stand up as a restart.
    """
    force, level = sound.levelled()
    residual = sound.readings.force - force
    lower = np.linalg.cholesky(sound.covariance(force, level))
    white = solve_triangular(lower, residual, lower=True)
    best: tuple[float, Misfit | None, int] = (1.0, None, -1)
    if len(force) >= MIN_READINGS:
        for kind, change, at in _changes(sound, force):
            h = solve_triangular(lower, change, lower=True)
            norm = float(np.sqrt(h @ h))
            if norm < 1e-9:
                continue
            standardised = float(h @ white) / norm
            may_restart = _restarts(kind, standardised / norm, restart)
            above = abs(standardised) / (RESTART_LIMIT if may_restart else LIMITS[kind])
            if above > best[0]:
                travel = float(sound.readings.travel[at]) if kind in ("jump", "one reading") else None
                best = above, Misfit(kind, standardised / norm, travel, standardised), int(numbers[at])
    if best[1] is None:
        return _whole(white), -1
    return best[1], best[2]


def _changes(sound: _Sound, force: np.ndarray) -> list[tuple[Kind, np.ndarray, int]]:
    """Change of the readings that a misfit of size one makes, N, with the reading where it is or begins."""
    travel, n = sound.readings.travel, len(force)
    changes: list[tuple[Kind, np.ndarray, int]] = [
        ("slope", force * (travel / sound.home - 0.5), 0),
        ("zero", np.ones(n), 0),
    ]
    changes += [("jump", force * (np.arange(n) >= k), k) for k in range(MIN_SIDE, n - MIN_SIDE + 1)]
    single = np.maximum(force, 1e-3 * max(float(force.max()), 1e-9))
    return changes + [("one reading", single * (np.arange(n) == k), k) for k in range(n)]


def _whole(white: np.ndarray) -> Misfit | None:
    squares, freedom = float(white @ white), max(len(white) - 1, 1)
    if squares <= float(special.chdtri(freedom, SHAPE_P_VALUE)):
        return None
    return Misfit("shape", None, None, float(np.sqrt(squares / freedom)))
