"""Moments of the joint in use: under every load case at every temperature the one nearest to yield.

Stress, strength and factor are those of the rows "shell yields" and "sleeve yields", so that a moment which
governs one of them shows the stress that it judges.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf, isfinite

import numpy as np

from hoopwright import fem
from hoopwright.checks import Evidence
from hoopwright.checks.margin import Stage, When
from hoopwright.checks.service_rows import joint_conditions
from hoopwright.checks.stage_stress import (
    at_rest_anywhere,
    judged_reader,
    weight_of,
    worst_at_rest,
    worst_loaded,
    worst_out_of_round,
)
from hoopwright.checks.thin_side import thin_side
from hoopwright.discretisation import BODIES
from hoopwright.fit import ALIKE, Fit, FitSolution
from hoopwright.service.fields import wall_field
from hoopwright.service.instants import Instant
from hoopwright.service.study import ServiceSolution, Superposed, fit_surfaces, spot_of
from hoopwright.strength import own_strength

IN_USE: Stage = "in use"
MAX_MOMENTS = 16
"""Moments that are mapped; of more, those nearest their limit."""
Found = Fit | Superposed


@dataclass(frozen=True)
class Nearest:
    """Where a body is nearest to yield: its surface, "bore" or "outside"; r and z, mm; theta, degrees, None
    where the moment is the same all round. stress, and limit with the factor in it, MPa."""

    surface: str
    r: float
    z: float
    theta: float | None
    stress: float
    limit: float

    @property
    def share(self) -> float:
        """Stress over limit."""
        return self.stress / self.limit if self.limit > 0.0 else inf


@dataclass(frozen=True)
class Moment:
    """A fit, with service loads or the form of the bore on it where there are any.

    found: a fit of a round bore at rest, or one with service. instant: of the service. governs: the bodies
    whose row it governs.
    """

    evidence: Evidence
    found: Found
    instant: Instant | None
    governs: tuple[str, ...] = ()

    @property
    def fit(self) -> FitSolution:
        return self.found.finest if isinstance(self.found, Fit) else self.found.finest[0]

    @property
    def service(self) -> ServiceSolution | None:
        return None if isinstance(self.found, Fit) else self.found.finest[1]

    @property
    def load_case(self) -> str:
        """Name of the load case, "" without load."""
        if self.service is None or self.instant is None or self.instant.case is None:
            return ""
        return self.service.instants.cases[self.instant.case].name

    @property
    def when(self) -> When:
        if not self.load_case or self.service is None or self.instant is None:
            return When.of(self.fit.state)
        return When.of(self.fit.state, load_case=self.instant.name, joint=self.service.joint_condition)

    @property
    def key(self) -> tuple[object, ...]:
        """What tells it from other moments."""
        condition = "" if self.service is None else self.service.joint_condition
        return self.fit.state, condition if self.load_case else "", self.instant if self.load_case else None

    def stands_for(self, other: Moment) -> bool:
        """Whether another at the same temperature, under the same load, is hardly nearer to yield."""
        same = self.load_case, self.fit.temperature_rise
        return same == (other.load_case, other.fit.temperature_rise) and self.share >= (
            other.share * (1.0 - ALIKE)
        )

    @cached_property
    def nearest(self) -> dict[str, Nearest]:
        """Where each body is nearest to yield; without one that is not judged under loads."""
        found = ((body, self._nearest(body)) for body in BODIES)
        return {body: one for body, one in found if one is not None}

    @property
    def body(self) -> str:
        """The body nearest to yield."""
        return max(self.nearest, key=lambda body: self.nearest[body].share)

    @property
    def share(self) -> float:
        """Stress over limit, where that is greatest."""
        return max((one.share for one in self.nearest.values()), default=0.0)

    @property
    def theta(self) -> float | None:
        """Angle of the section that is mapped: where the body nearest to yield is so, degrees."""
        return self.nearest[self.body].theta

    def limit(self, body: str, z: np.ndarray) -> np.ndarray:
        """What the stress of a body may be at most along z, MPa."""
        return limit_of(self.evidence, body, z, self.fit.temperature_rise, bent=bool(self.load_case))

    def _nearest(self, body: str) -> Nearest | None:
        weigh = weight_of(self.evidence, body, IN_USE)
        if self.service is None or self.instant is None:
            peak = self.fit.equivalent_peak(body, weigh)
            return self._at(body, peak.surface, peak.r, peak.z, None, peak.value)
        wall, k = self.service.walls[body], self.service.instants.nearest(self.instant)
        field = wall.von_mises(fit_surfaces(self.fit, body), slice(k, k + 1))
        weight = np.broadcast_to(weigh(wall.z, self.fit.temperature_rise), wall.z.shape)
        spot = spot_of(weight[:, None] * field, body, self.service, first_case=k)
        if not isfinite(spot.value):
            return None
        is_round = not self.load_case and not self.evidence.has_form
        return self._at(body, spot.surface, spot.r, spot.z, None if is_round else spot.theta, spot.value)

    def _at(
        self, body: str, surface: str, r: float, z: float, theta: float | None, weighed: float
    ) -> Nearest:
        at, rise = np.array([z]), self.fit.temperature_rise
        weight = float(np.max(weight_of(self.evidence, body, IN_USE)(at, rise)))
        return Nearest(surface, r, z, theta, weighed / weight, float(self.limit(body, at)[0]))


def limit_of(evidence: Evidence, body: str, z: np.ndarray, rise: float, *, bent: bool) -> np.ndarray:
    """Strength over the factor of safety, and over what an eccentric bore adds to the stress, along z, MPa;
    0 where that leaves no wall."""
    weight = np.broadcast_to(weight_of(evidence, body, IN_USE)(z, rise), z.shape)
    return 1.0 / (_demand_per_stress(evidence, body, bent=bent) * weight)


def _demand_per_stress(evidence: Evidence, body: str, *, bent: bool) -> float:
    """Share of its limit per weighed stress of a body, 1/MPa."""
    rise = thin_side(evidence, body, bent=bent).rise
    return evidence.case.factors.yielding * rise / own_strength(evidence.case, body)


def moments_of(evidence: Evidence) -> tuple[Moment, ...]:
    """The moments that govern the rows of both bodies, and the worst under every load case at every
    temperature, nearest to yield first; none where the case does not describe the joint in use."""
    found: dict[tuple[object, ...], Moment] = {}
    for body in BODIES:
        governing = _governing(evidence, body)
        if governing is not None:
            known = found.get(governing.key, governing)
            found[governing.key] = replace(known, governs=(*known.governs, body))
    for moment in _worst_of_each(evidence):
        if not any(known.stands_for(moment) for known in found.values()):
            found[moment.key] = moment
    ordered = sorted((m for m in found.values() if m.nearest), key=lambda m: (not m.governs, -m.share))
    return tuple(sorted(ordered[:MAX_MOMENTS], key=lambda m: -m.share))


def _governing(evidence: Evidence, body: str) -> Moment | None:
    """The moment in use with the least margin of a body."""
    found = []
    if at_rest_anywhere(evidence, IN_USE).fits:
        if evidence.has_form:
            resting = worst_out_of_round(evidence, body, IN_USE)
            found.append(Moment(evidence, resting, _no_load(resting)))
        else:
            found.append(Moment(evidence, worst_at_rest(evidence, body, IN_USE), None))
    if evidence.has_loads:
        loaded = worst_loaded(evidence, body)
        spot = judged_reader(evidence, body, IN_USE)(*loaded.finest)
        found.append(Moment(evidence, loaded, spot.instant))
    judged = (moment for moment in found if body in moment.nearest)
    return max(judged, key=lambda moment: moment.nearest[body].share, default=None)


def _no_load(found: Superposed) -> Instant:
    return found.service[0].instants.all[-1]


def _worst_of_each(evidence: Evidence) -> Iterator[Moment]:
    """The worst moment of every load case at every temperature, searched on the coarsest mesh as the rows
    search theirs."""
    best: dict[tuple[float, int | None], tuple[float, Found]] = {}
    for found, case, share in _candidates(evidence):
        state = found.state if isinstance(found, Fit) else found.fit.state
        key = state.temperature_rise, case
        if key not in best or share > best[key][0]:
            best[key] = share, found
    for (_, case), (_, one) in best.items():
        yield Moment(evidence, one, _instant(evidence, one, case))


def _candidates(evidence: Evidence) -> Iterator[tuple[Found, int | None, float]]:
    """Every fit in use, with the share of the limit that it reaches under each load case, by its index,
    and without load."""
    service, resting = evidence.study.service, at_rest_anywhere(evidence, IN_USE)
    conditions = joint_conditions(evidence)
    if evidence.has_form and service is not None:
        for found in service.superposed(resting, joint_conditions=conditions):
            yield found, None, _shares(evidence, found)[-1]
    else:
        for fit in resting.fits:
            yield fit, None, max(_share_at_rest(evidence, fit, body) for body in BODIES)
    if service is None or not evidence.has_loads:
        return
    loaded = evidence.anywhere(evidence.loaded)
    for found in service.superposed(loaded, joint_conditions=conditions):
        shares, instants = _shares(evidence, found), found.service[-1].instants
        yield found, None, float(shares[-1])
        for case, block in enumerate(instants.blocks):
            yield found, case, float(shares[block.start : block.stop].max())


def _share_at_rest(evidence: Evidence, fit: Fit, body: str) -> float:
    weighed = fit.coarsest.equivalent_peak(body, weight_of(evidence, body, IN_USE)).value
    return weighed * _demand_per_stress(evidence, body, bent=False)


def _shares(evidence: Evidence, found: Superposed, *, mesh: int = -1) -> np.ndarray:
    """The greatest share of its limit that either body reaches at every instant, (instants,)."""
    fit, solution = found.meshes[mesh]
    of_bodies = []
    for body in BODIES:
        wall = solution.walls[body]
        weight = np.broadcast_to(
            weight_of(evidence, body, IN_USE)(wall.z, fit.temperature_rise), wall.z.shape
        )
        peaks = (weight[:, None] * wall.von_mises(fit_surfaces(fit, body))).max(axis=(1, 3))
        unjudged = solution.edges.beside(wall.z)
        loaded = np.where(unjudged, 0.0, peaks[:-1]).max(axis=1)
        per_stress = [_demand_per_stress(evidence, body, bent=bent) for bent in (True, False)]
        of_bodies.append(np.append(loaded * per_stress[0], peaks[-1].max() * per_stress[1]))
    return np.max(of_bodies, axis=0)


def _instant(evidence: Evidence, found: Found, case: int | None) -> Instant | None:
    """The worst instant of a load case on the finest mesh."""
    if isinstance(found, Fit):
        return None
    instants = found.service[0].instants
    if case is None:
        return instants.all[-1]
    block = instants.blocks[case]
    if len(block) == 1:
        return instants.all[block.start]
    shares = _shares(evidence, found, mesh=0)
    return instants.all[block.start + int(np.argmax(shares[block.start : block.stop]))]


def surfaces_at(moment: Moment, body: str, theta: float | None) -> np.ndarray:
    """Stress as it is judged at bore and outside of a body at an angle, degrees, (2, lines, 6), MPa."""
    own = fit_surfaces(moment.fit, body)
    service = moment.service
    if service is None or moment.instant is None or theta is None:
        return own
    wall = wall_field(service.instants, service.solved, service.static, body, np.radians(np.array([theta])))
    k = service.instants.nearest(moment.instant)
    return np.asarray(own + wall.stress[k, :, :, 0] + wall.static[:, :, 0])


def von_mises_through(surfaces: np.ndarray, levels: np.ndarray) -> np.ndarray:
    """Von Mises stress between bore and outside, along a straight line for every component, (levels,
    lines), MPa. levels: 0 at the bore, 1 at the outside."""
    share = levels[:, None, None]
    return np.asarray(fem.von_mises((1.0 - share) * surfaces[0] + share * surfaces[1]))
