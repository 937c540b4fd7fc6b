"""Force–travel curve of pressing in: contact solved at a series of positions of the sleeve.

    F = μ ∫ p dA over the contact at that travel      (closed form for comparison: Σ π d L μ p, p by Lamé)

At each position only the overlapping part of the lands touches, and the rest of both bodies supports it,
so that the contact pressure at the end of a partly engaged sleeve is above the mean. Where metal yields on
the way in, the forces are those that yielding leaves of the elastic ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright.by_slices import oval_gain, slice_force
from hoopwright.case.model import Case
from hoopwright.estimate import INTEGRAL, from_meshes
from hoopwright.geometry.joint import Joint
from hoopwright.geometry.land import End
from hoopwright.pressing.yielding import (
    MIN_FORCE_LOSS,
    YieldShares,
    elastic,
    presses_past_yield,
    yield_shares,
)
from hoopwright.state import being_pushed
from hoopwright.study import CaseStudy
from hoopwright.way_in import WayIn

SPANNED_SHARE = 0.9999
"""Share of the distribution of the interference that the force–travel curve of a case spans."""
MIN_SPAN = 0.1
"""Share of the interference that is spanned even where the sizes are taken as exact."""


@dataclass(frozen=True)
class Position:
    """Contact forces at one position of the sleeve, elastic, and what yielding leaves of them.

    travel: mm. engaged: length of the lands in interference, mm. normal: ∫ p dA while sliding, N: low
    friction at least interference, likely at nominal, high at greatest. frictionless: ∫ p dA without
    friction, at every shift of the curve, N. push_gain: relative rise of ∫ p dA by the axial push, per unit
    of friction, (sliding/frictionless − 1)/μ. closed_form: ∫ p dA at nominal interference by Lamé slice by
    slice, no end effect, N. shares: left by yielding, at every shift of the curve.
    """

    travel: float
    engaged: float
    normal: tuple[float, float, float]
    frictionless: tuple[float, ...]
    push_gain: float
    closed_form: float
    shares: YieldShares


@dataclass(frozen=True)
class ForceTravel:
    """Force against travel, from the mouth of the shell to home.

    shifts: of the diametral interference from nominal, rising, mm; zero is in the middle, and the second
    and the last but one are the 95 % limits. elastic_restart_force: greatest force to move a sleeve
    after a rest, N, at high friction times the restart ratio and greatest interference, if nothing
    yielded; restart_travel: where it is needed, mm.
    """

    case: Case
    enters_from: End
    shifts: tuple[float, ...]
    positions: tuple[Position, ...]
    elastic_restart_force: float
    restart_travel: float

    @cached_property
    def travel(self) -> np.ndarray:
        """Travel at every position, (positions,), mm."""
        return np.array([p.travel for p in self.positions])

    @cached_property
    def frictions(self) -> tuple[float, float, float]:
        """Coefficient of sliding friction: low, likely, high."""
        return frictions(self.case)

    @cached_property
    def normal(self) -> np.ndarray:
        """∫ p dA while sliding, (positions, 3), N; the last two are raised where an oval bore opens it."""
        return self._elastic_normal * self.yield_share[:, 1:4]

    @cached_property
    def _elastic_normal(self) -> np.ndarray:
        return np.array([p.normal for p in self.positions])

    @cached_property
    def yield_share(self) -> np.ndarray:
        """Share of the elastic force that yielding leaves, (positions, shifts); all ones where nothing
        yields."""
        return np.array([p.shares.force for p in self.positions])

    @cached_property
    def force(self) -> np.ndarray:
        """Pressing force, (positions, 3), N: low friction at least interference, likely friction at
        nominal, high friction at greatest."""
        return self.normal * np.array(self.frictions)

    @property
    def metal_yields(self) -> bool:
        """Whether yielding takes a share worth a word off a force within the 95 % limits of the sizes."""
        return bool(self.yield_share[:, 1:4].min() < 1.0 - MIN_FORCE_LOSS)

    @property
    def elastic_peak(self) -> float:
        """Greatest stop line over the travel if nothing yielded, N."""
        return float(self._elastic_normal[:, 2].max()) * self.frictions[2]

    @property
    def restart_force(self) -> float:
        """Greatest force to move a sleeve after a rest, N, yielding counted."""
        return self.elastic_restart_force * float(
            np.interp(self.restart_travel, self.travel, self.yield_share[:, 3])
        )

    @cached_property
    def force_without_push_gain(self) -> np.ndarray:
        """Likely force without the rise of pressure by the axial push, and without yielding, (positions,),
        N; this is what the closed form gives."""
        return self.frictions[1] * np.array([p.frictionless[len(self.shifts) // 2] for p in self.positions])

    @cached_property
    def closed_form(self) -> np.ndarray:
        """Likely force by Lamé, without end effect, (positions,), N."""
        return self.frictions[1] * np.array([p.closed_form for p in self.positions])

    @property
    def peak(self) -> tuple[float, float, float]:
        """Greatest force over the travel, N: low, likely, high."""
        low, likely, high = (float(column.max()) for column in self.force.T)
        return low, likely, high

    def work(self, forces: np.ndarray) -> float:
        """∫ F ds over the whole travel, N·mm."""
        return float(np.trapezoid(forces, self.travel))


def frictions(case: Case) -> tuple[float, float, float]:
    """Coefficient of sliding friction: low, likely (by default their geometric mean), high."""
    (low, high), likely = case.pressing_friction, case.press.friction_likely
    return low, float(np.sqrt(low * high)) if likely is None else likely, high


def force_travel(
    way_in: WayIn,
    *,
    within: tuple[float, float],
    reach: float | None = None,
    past_yield: bool = False,
) -> ForceTravel:
    """Solve the force–travel curve, on the coarsest mesh of the way in: forces converge far sooner than
    stresses.

    within: least and greatest shift of the diametral interference from likely, mm. reach: how far to solve
    on either side, mm, by default twice as far. past_yield: metal yields on the way in. Raises
    fem.MeshError or fem.SolveError when a position cannot be meshed or solved.
    """
    low, high = within
    shifts = (
        min(2.0 * low if reach is None else -reach, low),
        low,
        0.0,
        high,
        max(2.0 * high if reach is None else reach, high),
    )
    positions = tuple(_position(way_in, travel, shifts, past_yield) for travel in way_in.travels)
    restart = way_in.case.press.restart_ratio * way_in.case.pressing_friction[1]
    force, at = way_in.greatest_force(high, restart)
    return ForceTravel(way_in.case, way_in.end, shifts, positions, force.value, at)


def numerical_error(way_in: WayIn, position: Position) -> float:
    """Numerical error of the likely ∫ p dA at a position, N, by the next finer mesh."""
    likely = position.frictionless[len(position.frictionless) // 2]
    if not likely:
        return 0.0
    finer = way_in.frictionless_force(position.travel, -2, 0.0)
    return from_meshes(likely, finer, kind=INTEGRAL).error


def case_force_travel(study: CaseStudy) -> ForceTravel:
    """The force–travel curve of a case, over nearly all the interference its sizes allow, of the yielding
    metal where a body yields.

    Where that goes past no interference at all, as the long tails of few readings do, it is solved as far
    as that, and as far above: force goes in proportion, and straight lines beyond the ends are as good.
    """
    errors, likely = study.interference.errors, abs(study.nominal_interference)
    reach = max(min(errors.half_width(SPANNED_SHARE), likely), errors.half_width(), MIN_SPAN * likely)
    return force_travel(
        study.way_in,
        within=(study.loosest_shift, study.tightest_shift),
        reach=reach + study.case.smoothing_spread_mm,
        past_yield=presses_past_yield(study),
    )


def _position(way_in: WayIn, travel: float, shifts: tuple[float, ...], past_yield: bool) -> Position:
    case = way_in.case
    if not way_in.engages(travel, shifts[-1]):
        return Position(travel, 0.0, (0.0, 0.0, 0.0), (0.0,) * len(shifts), 0.0, 0.0, elastic(shifts))
    pair = way_in.pair(travel)
    free = tuple(way_in.frictionless_force(travel, -1, shift) for shift in shifts)
    low, likely, high = forces_while_sliding(way_in, travel, shifts)
    oval = oval_gain(case, pair, 0.0)
    push_gain = (likely / oval / free[2] - 1.0) / frictions(case)[1] if free[2] > 0.0 else 0.0
    return Position(
        travel,
        engaged_length(case, pair),
        (low, likely, high),
        free,
        push_gain,
        by_lame(case, pair),
        yield_shares(case, way_in.mesh(travel, -1), shifts) if past_yield else elastic(shifts),
    )


def forces_while_sliding(
    way_in: WayIn, travel: float, shifts: tuple[float, ...]
) -> tuple[float, float, float]:
    """∫ p dA at a travel, mm, while the sleeve slides and nothing yields, N: low friction at least
    interference, likely at nominal, high at greatest.

    shifts: of a curve, mm. The last two are raised where an oval bore opens the joint; the least counts
    on no help from ovality.
    """
    low, likely, high = (
        way_in.normal_force(travel, -1, being_pushed(way_in.case, shift, mu))
        for shift, mu in zip(shifts[1:4], frictions(way_in.case), strict=True)
    )
    return low / oval_gain(way_in.case, way_in.pair(travel), shifts[1]), likely, high


def engaged_length(case: Case, pair: Joint) -> float:
    """Length of the lands in interference at a position, mm."""
    loss = 2.0 * case.smoothing_loss_mm
    return sum(s.length for s in pair.seats if s.interference_start + s.interference_end > loss)


def by_lame(case: Case, pair: Joint) -> float:
    """∫ p dA at a position at nominal interference, slice by slice by Lamé, no end effect, N."""
    return float(sum(slice_force(case, pair, seat) for seat in pair.seats))
