"""The sleeve on its way in: fits at a series of positions, each on meshes of its own.

At each position only the overlapping part of the lands touches, and the rest of both bodies supports it, so
that the contact pressure at the end of a partly engaged sleeve is above the mean, and so are the stresses
there. All positions are solved on the coarsest mesh; the one that governs on all of them.

Assumed: ram and support bear evenly on the whole faces of sleeve and shell.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np

from hoopwright.by_slices import oval_gain
from hoopwright.case.model import Case
from hoopwright.discretisation import BODIES, Discretisation
from hoopwright.entry import entry_side
from hoopwright.estimate import INTEGRAL, Estimate, from_meshes
from hoopwright.fem import Resolution
from hoopwright.fit import FitSolution, Governing, Peak, Weigh
from hoopwright.geometry.joint import Joint, joint
from hoopwright.geometry.sleeve import Sleeve
from hoopwright.geometry.stations import distinct
from hoopwright.geometry.travel import at_travel, engagement_travels, total_travel
from hoopwright.pilot import narrowest
from hoopwright.state import State, being_pushed, pushing_frictions
from hoopwright.strength import referred
from hoopwright.strict_line import fit_estimate

# At least this many steps over the travel, besides the positions where the slope of the force changes.
STEPS_OVER_TRAVEL = 8
JUST_AFTER = 0.15
MAX_POSITIONS = 40
BISECTIONS = 3
"""Times the positions on either side of the greatest value are halved, the last where it is not settled."""
SETTLED = 0.002
"""Share of the greatest value by which the parabola through it and its neighbours may still rise."""
MAX_CACHED_NODES = 6_000
"""Nodes of a mesh beyond which memory counts for more than the time to make it again."""
NEARLY_GOVERNS = 0.85
"""Share of the greatest stress above which a position is looked at again where the interference is
another."""


@dataclass(frozen=True)
class OnTheWay:
    """The worst of the way in. value: stress with its numerical error, MPa, referred to the body's own
    strength; peak: on the finest mesh it was solved on; travel: mm."""

    value: Estimate
    peak: Peak
    state: State
    travel: float


class Passing(NamedTuple):
    """The sleeve sliding past a position. travel: mm; friction: μ."""

    travel: float
    friction: float


Survey = dict[Passing, dict[str, float]]
"""Greatest von Mises stress by body, MPa, "force at" a friction, N, and how far the bore closes beyond what
a pilot leaves, mm, by position."""
PILOT = "pilot"


class WayIn:
    """The fits of a case at positions of the sleeve from the mouth of the shell to home.

    resolutions: of the meshes at a position, finest first. governing: what governs, if known. travels: mm,
    rising, 0 where the leading end meets the shell; the last is home.
    """

    def __init__(
        self, case: Case, resolutions: tuple[Resolution, ...], governing: Governing | None = None
    ) -> None:
        self.case, self.resolutions = case, resolutions
        self.end = entry_side(case)
        self.governing = governing or Governing()
        self._meshes: dict[tuple[float, Resolution], Discretisation] = {}
        self._greatest: dict[tuple[str, float, bool], OnTheWay | None] = {}
        self._pairs: dict[float, Joint] = {}
        self._surveys: dict[float, Survey] = {}
        self.travels = self._positions()

    def coarsest_only(self) -> WayIn:
        """The way in on the coarsest mesh alone, where governs what does here."""
        narrowed = WayIn(self.case, self.resolutions[-1:], Governing(self.governing.found))
        narrowed._meshes, narrowed._pairs = self._meshes, self._pairs
        return narrowed

    @property
    def _sleeve(self) -> Sleeve:
        """What is pressed in, home: the sleeve, or its blank."""
        return self.case.sleeve.blank

    @property
    def home(self) -> float:
        """The whole travel, mm."""
        return total_travel(self.case.shell, self._sleeve, self.end)

    def pair(self, travel: float) -> Joint:
        """Shell and sleeve at a position."""
        if travel not in self._pairs:
            sleeve = at_travel(self.case.shell, self._sleeve, self.end, travel)
            self._pairs[travel] = joint(self.case.shell, sleeve)
        return self._pairs[travel]

    def engages(self, travel: float, shift: float) -> bool:
        """Whether any land can touch at a position, with every diametral interference changed by a shift,
        mm."""
        seats = self.pair(travel).seats
        if self.case.press.temperature_rise_K:
            return bool(seats)
        greatest = max((max(s.interference_start, s.interference_end) for s in seats), default=-np.inf)
        return greatest + shift - self.case.smoothing_loss_mm > 0.0

    def mesh(self, travel: float, level: int) -> Discretisation:
        """The mesh at a position, cached unless it is a large one; level 0 is the finest, -1 the
        coarsest."""
        key = travel, self.resolutions[level]
        if key in self._meshes:
            return self._meshes[key]
        mesh = Discretisation(self.case, self.pair(travel), self.resolutions[level])
        if mesh.nodes <= MAX_CACHED_NODES:
            self._meshes[key] = mesh
        return mesh

    def solution(self, shift: float, passing: Passing, level: int) -> FitSolution:
        """The fit at a position, on one mesh."""
        state = being_pushed(self.case, shift, passing.friction)
        mesh = self.mesh(passing.travel, level)
        return FitSolution(mesh, state, mesh.press(state))

    def normal_force(self, travel: float, level: int, state: State) -> float:
        """∫ p dA at a position while the sleeve slides, N, raised where an oval bore opens it."""
        if not self.engages(travel, state.shift) or state.path is None:
            return 0.0
        moment = self.mesh(travel, level).moment(state.shift, state.path)
        return moment.normal_force * oval_gain(self.case, self.pair(travel), state.shift)

    def frictionless_force(self, travel: float, level: int, shift: float) -> float:
        """∫ p dA at a position without friction, N."""
        if not self.engages(travel, shift):
            return 0.0
        mesh, bench = self.mesh(travel, level), self.case.press.temperature_rise_K
        interference = mesh.radial_interference(shift)
        return mesh.friction.without_friction(interference, temperature_rise=bench).normal_force

    def greatest_force(self, shift: float, friction: float) -> tuple[Estimate, float]:
        """Greatest force to push the sleeve over the whole travel, N, and the travel there, mm.

        friction: the greatest of pressing, or that times the restart ratio. The value is that of the
        coarsest mesh, as in the force–travel curve: forces converge far sooner than stresses.
        """
        worst = self._governing(f"force at {friction:g}", shift)
        if worst is None:
            return Estimate(0.0), self.home
        state = being_pushed(self.case, shift, friction)
        levels = (-1, -2)[: len(self.resolutions)]
        forces = (friction * self.normal_force(worst.travel, level, state) for level in levels)
        return from_meshes(*forces, kind=INTEGRAL), worst.travel

    def greatest_stress(self, body: str, shift: float, *, refined: bool = True) -> OnTheWay | None:
        """The greatest von Mises stress of a body over the whole travel and all friction of pushing, MPa.

        None where no land ever engages. refined: solved on all meshes there, else on the coarsest alone.
        """
        key = body, round(shift, 9), refined
        if key not in self._greatest:
            self._greatest[key] = self._solved(body, shift, refined)
        return self._greatest[key]

    def narrowest_at_pilot(self, shift: float) -> tuple[tuple[FitSolution, ...], float] | None:
        """The fit in which the pusher's pilot has the least left around it, finest mesh first, and the
        travel there, mm; None where no land ever engages."""
        worst = self._governing(PILOT, shift)
        if worst is None:
            return None
        levels = range(len(self.resolutions))
        return tuple(self.solution(shift, worst, level) for level in levels), worst.travel

    def weigh(self, body: str) -> Weigh:
        """What refers the stress of a body on the way in to its own strength."""
        return partial(referred, self.case, body, "entering")

    def _solved(self, body: str, shift: float, refined: bool) -> OnTheWay | None:
        worst = self._governing(body, shift)
        if worst is None:
            return None
        levels = range(len(self.resolutions)) if refined else (-1,)
        solutions = [self.solution(shift, worst, level) for level in levels]
        weigh = self.weigh(body)
        value = fit_estimate(solutions, body, refined=refined, weigh=weigh)
        peak = solutions[0].equivalent_peak(body, weigh)
        return OnTheWay(value, peak, being_pushed(self.case, shift, worst.friction), worst.travel)

    def _governing(self, what: str, shift: float) -> Passing | None:
        """The position and friction with the greatest stress of a body, or force; None where no land
        engages."""
        known = self.governing.known.get(f"{what} entering")
        if isinstance(known, Passing) and self.engages(known.travel, shift):
            return known
        values = {passing: found[what] for passing, found in self._survey(shift).items() if what in found}
        if not values:
            return None
        worst = max(values, key=lambda passing: values[passing])
        self.governing.found[f"{what} entering"] = worst
        return worst

    def _survey(self, shift: float) -> Survey:
        """Stresses and forces on the way in, by position and friction, on the coarsest mesh.

        The first is searched ever more closely; at another interference its greatest values are looked at
        again.
        """
        if shift not in self._surveys:
            first = next(iter(self._surveys.values()), None)
            self._surveys[shift] = self._again(shift, first) if first else self._search(shift)
        return self._surveys[shift]

    def _search(self, shift: float) -> Survey:
        found: Survey = {}
        meshes: dict[float, Discretisation] = {}
        new = {travel for travel in self.travels if self.engages(travel, shift)}
        for done in range(BISECTIONS + 1):
            for travel in sorted(new):
                meshes[travel] = Discretisation(self.case, self.pair(travel), self.resolutions[-1])
                found |= self._look(shift, travel, meshes[travel])
                meshes = {at: mesh for at, mesh in meshes.items() if self._keeps(at, mesh, found)}
            travels = sorted({passing.travel for passing in found})
            worst = {
                _greatest(found, what).travel
                for what in self._searched
                if found and not (done == BISECTIONS - 1 and _is_settled(found, what))
            }
            new = {middle for at in worst for middle in _between_neighbours(travels, at)} - set(travels)
        self._meshes |= {(travel, self.resolutions[-1]): mesh for travel, mesh in meshes.items()}
        return found

    @property
    def _searched(self) -> tuple[str, ...]:
        """What the positions are halved for."""
        return BODIES if self.case.press.pilot is None else (*BODIES, PILOT)

    def _keeps(self, travel: float, mesh: Discretisation, found: Survey) -> bool:
        """Whether a mesh of the search is asked for again: where a stress is the greatest found so far, and
        by the force–travel curve, where there are readings to hold against it. Most are used once."""
        if mesh.nodes > MAX_CACHED_NODES:
            return False
        governs = any(_greatest(found, what).travel == travel for what in self._searched)
        return governs or (self.case.press.has_readings and travel in self.travels)

    def _again(self, shift: float, first: Survey) -> Survey:
        """The local maxima of a first survey, at another interference."""
        found: Survey = {}
        for travel in sorted(_local_maxima(first)):
            if self.engages(travel, shift):
                found |= self._look(shift, travel, self.mesh(travel, -1))
        return found or self._search(shift)

    def _look(self, shift: float, travel: float, mesh: Discretisation) -> Survey:
        """Stress of each body, MPa, and force, N, at a position, by friction."""
        found: Survey = {}
        for friction in pushing_frictions(self.case):
            state = being_pushed(self.case, shift, friction)
            solution = FitSolution(mesh, state, mesh.press(state))
            found[Passing(travel, friction)] = {
                b: solution.equivalent_peak(b, self.weigh(b)).value for b in BODIES
            }
            if self.case.press.pilot is not None:
                found[Passing(travel, friction)][PILOT] = narrowest(self.case, solution).beyond
        if travel not in self.travels:  # forces are looked for where the force–travel curve has them
            return found
        gain = oval_gain(self.case, self.pair(travel), shift)
        _, high = self.case.pressing_friction
        for friction in dict.fromkeys((high, self.case.press.restart_ratio * high)):
            path = being_pushed(self.case, shift, friction).path
            assert path is not None
            force = gain * friction * mesh.moment(shift, path).normal_force
            found.setdefault(Passing(travel, friction), {})[f"force at {friction:g}"] = force
        return found

    def _positions(self) -> tuple[float, ...]:
        marks = engagement_travels(self.case.shell, self._sleeve, self.end)
        step = self.home / STEPS_OVER_TRAVEL
        travels = {0.0}
        for a, b in zip(marks[:-1], marks[1:], strict=True):
            even = np.linspace(a, b, max(2, int(np.ceil((b - a) / step - 1e-9)) + 1))
            soon = a + JUST_AFTER * (even[1] - a)  # the force jumps where a land begins to engage
            travels |= {float(soon), *map(float, even[1:])}
        ordered = distinct(travels)
        if len(ordered) > MAX_POSITIONS:
            keep = np.unique(np.linspace(0, len(ordered) - 1, MAX_POSITIONS).round().astype(int))
            ordered = [ordered[k] for k in keep]
        return tuple(ordered)


def _greatest(survey: Survey, what: str) -> Passing:
    return max(survey, key=lambda passing: survey[passing].get(what, -np.inf))


def _is_settled(survey: Survey, what: str) -> bool:
    """Whether the parabola through the greatest value and its two neighbours hardly rises above it; not
    where one is missing or so low that the value jumps between them."""
    greatest = _greatest(survey, what)
    course = sorted(
        (p.travel, found[what])
        for p, found in survey.items()
        if p.friction == greatest.friction and what in found
    )
    k = [travel for travel, _ in course].index(greatest.travel)
    if not 0 < k < len(course) - 1:
        return False
    (x0, low), (x1, top), (x2, high) = course[k - 1 : k + 2]
    if min(low, high) < NEARLY_GOVERNS * top:
        return False
    before, after = (top - low) / (x1 - x0), (high - top) / (x2 - x1)
    slope = (before * (x2 - x1) + after * (x1 - x0)) / (x2 - x0)
    bend = (before - after) / (x2 - x0)
    return slope**2 <= 4.0 * bend * SETTLED * top


def _local_maxima(survey: Survey) -> set[float]:
    """Travels, mm, at which a stress or force is greatest among its neighbours, and nearly so over the
    whole."""
    chosen = set()
    for what, friction in {(what, passing.friction) for passing, found in survey.items() for what in found}:
        travels = sorted(p.travel for p in survey if p.friction == friction and what in survey[p])
        values = np.array([survey[Passing(travel, friction)][what] for travel in travels])
        before, after = np.append(-np.inf, values[:-1]), np.append(values[1:], -np.inf)
        greatest = values.max()
        high = values >= greatest - (1.0 - NEARLY_GOVERNS) * abs(greatest)
        chosen |= {travels[k] for k in np.flatnonzero((values >= before) & (values >= after) & high)}
    return chosen


def _between_neighbours(travels: list[float], at: float) -> list[float]:
    """The middles between a travel and its neighbours, mm."""
    k = travels.index(at)
    return [0.5 * (a + at) for a in (*travels[max(k - 1, 0) : k], *travels[k + 1 : k + 2])]
