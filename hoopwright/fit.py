"""Press fits of a case in any state, each solved on up to three meshes."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar

import numpy as np

from hoopwright import fem
from hoopwright.case.model import Case
from hoopwright.discretisation import MAX_NODES, Discretisation, meshes_of
from hoopwright.estimate import PEAK, Estimate, QuantityKind, from_meshes
from hoopwright.fem import Linearised, PressFit, Resolution
from hoopwright.fem.friction import FrictionFit
from hoopwright.fem.strain import R
from hoopwright.fem.surface_stress import surface_hoop
from hoopwright.geometry.joint import joint
from hoopwright.interference import (
    EffectiveInterference,
    effective_interference,
    mean_interference,
)
from hoopwright.state import State, frictionless

Candidate = TypeVar("Candidate")
T = TypeVar("T")
Weigh = Callable[[np.ndarray, float], np.ndarray | float]
"""A factor on the stress of a body along z, mm, at a temperature, K above 20 °C: where strength differs
from place to place, it makes the stress one in metal of one strength."""


def as_it_is(_z: np.ndarray, _temperature_rise: float) -> float:
    """No weight: one strength everywhere."""
    return 1.0


@dataclass(frozen=True)
class Peak:
    """The governing value of a field and its location: body, surface, r and z in mm."""

    value: float
    body: str
    surface: str
    r: float
    z: float


@dataclass(frozen=True)
class FitSolution:
    """One press fit solved on one mesh, with the quantities derived from it."""

    mesh: Discretisation
    state: State
    press: PressFit | FrictionFit

    @property
    def temperature_rise(self) -> float:
        """K above 20 °C."""
        return self.state.temperature_rise

    @cached_property
    def stress(self) -> np.ndarray:
        """Stress at the 2 × 2 points of every element, (elements, 4, 6), MPa."""
        return self.mesh.recovery.stress(self.press.displacement, temperature_rise=self.temperature_rise)

    @cached_property
    def walls(self) -> dict[str, Linearised]:
        """Linearised through-wall stress by body."""
        return self.mesh.walls(self.press.displacement, self.temperature_rise)

    @cached_property
    def normal_force(self) -> float:
        """∫ p dA over the whole contact, N; friction carries μ times this force."""
        pairs = self.mesh.meshed_joint.interface
        return float(2.0 * np.pi * np.sum(self.press.pressure * pairs.weight))

    @cached_property
    def mean_pressure(self) -> float:
        """Area-weighted mean contact pressure over the seats, MPa."""
        weight = self.mesh.meshed_joint.interface.weight
        return float(np.sum(self.press.pressure * weight) / np.sum(weight))

    @cached_property
    def normal_by_seat(self) -> np.ndarray:
        """∫ p dA over each seat, (seats,), N."""
        pairs = self.mesh.meshed_joint.interface
        return np.asarray(2.0 * np.pi * (pairs.seat_share @ (self.press.pressure * pairs.weight)))

    @cached_property
    def torque_arm_by_seat(self) -> np.ndarray:
        """∫ p r dA over each seat, (seats,), N·mm; friction carries μ times this torque."""
        pairs = self.mesh.meshed_joint.interface
        return np.asarray(2.0 * np.pi * (pairs.seat_share @ (self.press.pressure * pairs.weight * pairs.r)))

    @property
    def pressure_by_seat(self) -> np.ndarray:
        """Mean contact pressure of each seat, (seats,), MPa."""
        return self.normal_by_seat / self.mesh.meshed_joint.interface.area_by_seat

    def equivalent_peak(self, body: str, weigh: Weigh = as_it_is) -> Peak:
        """Greatest von Mises stress on either surface of the wall of a body, as it is judged."""
        wall = self.walls[body]
        weight = weigh(wall.z, self.temperature_rise)
        inner, outer = weight * fem.von_mises(wall.inner), weight * fem.von_mises(wall.outer)
        at_bore = inner.max() >= outer.max()
        field, radius = (inner, wall.r_inner) if at_bore else (outer, wall.r_outer)
        k = int(np.argmax(field))
        return Peak(
            float(field[k]), body, "bore" if at_bore else "outside", float(radius[k]), float(wall.z[k])
        )

    def face_hoop(self, face: str) -> tuple[np.ndarray, np.ndarray]:
        """Hoop stress along a face such as "shell.bore", as (z in mm, stress in MPa)."""
        pairs, model = self.mesh.meshed_joint.interface, self.mesh.meshed_joint.model
        at_node = np.zeros(model.mesh.nodes.shape[1])
        at_node[pairs.shell] = at_node[pairs.sleeve] = self.press.pressure
        pressure = at_node[model.mesh.face(face).nodes[:, 1]]
        return surface_hoop(
            model, face, self.press.displacement, -pressure, temperature_rise=self.temperature_rise
        )

    def bore_closure(self, z: np.ndarray) -> np.ndarray:
        """Diametral closure of the sleeve's bore at z, mm, without what the sleeve expands by itself: a
        gauge does the same."""
        return -self._diametral_growth("sleeve", "bore", z)

    def outside_growth(self, z: np.ndarray) -> np.ndarray:
        """Diametral growth of the shell's outside at z, mm, without what the shell expands by itself."""
        return self._diametral_growth("shell", "outside", z)

    def _diametral_growth(self, body: str, face: str, z: np.ndarray) -> np.ndarray:
        model, nodes = self.mesh.meshed_joint.model, self.mesh.face(f"{body}.{face}")
        r, at = model.mesh.nodes[:, nodes]
        material = model.materials[body]
        free = r * material.expansion * material.effective(self.temperature_rise)
        grown = 2.0 * (self.press.displacement[nodes, R] - free)
        return np.asarray(np.interp(z, at, grown))


Solved = dict[tuple[Discretisation, State], FitSolution]
"""What is solved, by mesh and state; studies of one joint share it."""


class Fit:
    """The fit in one state, on every mesh of the joint as it is then, each solved when first asked for.

    solved: where solutions are found and kept.
    """

    def __init__(self, state: State, meshes: tuple[Discretisation, ...], solved: Solved) -> None:
        self.state, self.meshes = state, meshes
        self._solved = solved
        self._solutions: dict[int, FitSolution] = {}

    def on(self, mesh: int) -> FitSolution:
        """The solution on one mesh of the study, 0 for the finest."""
        mesh %= len(self.meshes)
        if mesh not in self._solutions:
            self._solutions[mesh] = self._solution(self.meshes[mesh])
        return self._solutions[mesh]

    def _solution(self, mesh: Discretisation) -> FitSolution:
        if (mesh, self.state) not in self._solved:
            self._solved[mesh, self.state] = FitSolution(mesh, self.state, mesh.press(self.state))
        return self._solved[mesh, self.state]

    @property
    def finest(self) -> FitSolution:
        return self.on(0)

    @property
    def coarsest(self) -> FitSolution:
        return self.on(-1)

    @property
    def solutions(self) -> tuple[FitSolution, ...]:
        """On every mesh, finest first."""
        return tuple(self.on(k) for k in range(len(self.meshes)))

    def estimate(self, read: Callable[[FitSolution], float], kind: QuantityKind = PEAK) -> Estimate:
        """A quantity of the fit with its numerical error."""
        return from_meshes(*map(read, self.solutions), kind=kind)


ALIKE = 1e-4
"""Relative difference below which two candidates govern alike."""
SHORTLISTED = 4
"""Candidates looked at again at another interference, of all that were searched at the first."""


@dataclass
class Governing:
    """Which of several candidates governs, by row of a check.

    known: what a search on another study has found, which is taken without searching again. The first
    search of a row looks at all candidates, later ones at those that came nearest then.
    """

    known: Mapping[str, Hashable] = field(default_factory=dict)
    found: dict[str, Hashable] = field(default_factory=dict)
    _shortlist: dict[str, set[Hashable]] = field(default_factory=dict)

    def forget(self) -> None:
        """Look at all candidates again at the next search of every row."""
        self._shortlist.clear()

    def pick(
        self,
        row: str,
        candidates: Sequence[tuple[Hashable, Candidate]],
        value: Callable[[Candidate], float],
    ) -> Candidate:
        """The candidate with the greatest value. candidates: each with what tells it from others at the
        same interference."""
        wanted = {self.known[row]} if row in self.known else self._shortlist.get(row, set())
        among = [one for one in candidates if one[0] in wanted] or list(candidates)
        if len(among) == 1:
            self.found[row] = among[0][0]
            return among[0][1]
        values = [value(candidate) for _, candidate in among]
        ranked = sorted(range(len(among)), key=lambda k: -values[k])
        # the first of those that are alike: temperatures gone through again take the longer way to the same
        greatest = values[ranked[0]]
        key, best = next(
            one for one, v in zip(among, values, strict=True) if v >= greatest - ALIKE * abs(greatest)
        )
        if row not in self._shortlist:
            self._shortlist[row] = {key, *(among[k][0] for k in ranked[:SHORTLISTED])}
        self.found[row] = key
        return best


@dataclass(frozen=True)
class Fits:
    """Fits of which a check takes the worst: found on the coarsest mesh, and solved on all of them."""

    fits: tuple[Fit, ...]
    governing: Governing

    def greatest(
        self, row: str, read: Callable[[FitSolution], float], kind: QuantityKind = PEAK
    ) -> tuple[Estimate, FitSolution]:
        """The largest value, and the finest-mesh solution it comes from. row: name of what is judged."""
        fit = self.worst(row, read)
        return fit.estimate(read, kind), fit.finest

    def least(
        self, row: str, read: Callable[[FitSolution], float], kind: QuantityKind = PEAK
    ) -> tuple[Estimate, FitSolution]:
        """The smallest value, and the finest-mesh solution it comes from."""
        fit = self.worst(row, lambda solution: -read(solution))
        return fit.estimate(read, kind), fit.finest

    def worst(self, row: str, read: Callable[[FitSolution], float]) -> Fit:
        """The fit with the largest value on the coarsest mesh."""
        return self.governing.pick(row, self._by_history(), lambda fit: read(fit.coarsest))

    def _by_history(self) -> list[tuple[Hashable, Fit]]:
        return [(fit.state.history, fit) for fit in self.fits]


class FitStudy:
    """Press fits of one case: the meshes are built once, and each interference is solved on first request.

    blank_joint, blank_meshes: of the joint as it is pressed, the same where the sleeve is finished by then.
    max_nodes: limit on the nodes of the finest mesh; raises fem.MeshSizeError beyond it. meshes,
    blank_meshes: to use, finest first, instead of three of the resolution and coarser. governing: what
    governs, if known. solved: on these meshes, if any is.
    """

    def __init__(
        self,
        case: Case,
        resolution: Resolution,
        *,
        max_nodes: int = MAX_NODES,
        meshes: tuple[Discretisation, ...] = (),
        blank_meshes: tuple[Discretisation, ...] = (),
        governing: Governing | None = None,
        solved: Solved | None = None,
    ) -> None:
        self.case = case
        self.resolution = resolution
        self.joint = joint(case.shell, case.sleeve)
        later = case.sleeve.finished_later
        self.blank_joint = joint(case.shell, case.sleeve.blank) if later else self.joint
        if later and not blank_meshes:
            blank_meshes = meshes_of(case, self.blank_joint, resolution, max_nodes)
        self.meshes = meshes or meshes_of(case, self.joint, resolution, max_nodes, blank_meshes)
        self.blank_meshes = blank_meshes or self.meshes
        self.governing = governing or Governing()
        self._fits: dict[State, Fit] = {}
        self._solved: Solved = {} if solved is None else solved
        self._cache: dict[Hashable, Any] = {}

    @property
    def fine(self) -> Discretisation:
        return self.meshes[0]

    @property
    def coarse(self) -> Discretisation:
        return self.meshes[1]

    @cached_property
    def nominal_interference(self) -> float:
        """Likely effective diametral interference, averaged along the seats, mm."""
        return mean_interference(self.interference.fits)

    @cached_property
    def interference(self) -> EffectiveInterference:
        """Effective interference of every seat, with its errors."""
        return effective_interference(self.case, self.joint)

    @cached_property
    def interference_half_width(self) -> float:
        """Half-width of the 95 % interval of the diametral interference of the least certain seat, mm."""
        return self.interference.errors.half_width()

    @property
    def loosest_shift(self) -> float:
        """Shift of the diametral interference from likely to the least it may be, mm."""
        return -self.interference_half_width

    @property
    def tightest_shift(self) -> float:
        """Shift to the greatest it may be, mm: sizes at that end, and the least lost as roughness is
        flattened, where the likely value has the most lost."""
        return self.interference_half_width + self.case.smoothing_spread_mm

    def at(self, state: State) -> Fit:
        """The fit in a state; each mesh is solved once, then cached."""
        if state not in self._fits:
            self._fits[state] = Fit(state, self.blank_meshes if state.blank else self.meshes, self._solved)
        return self._fits[state]

    def cached(self, key: Hashable, find: Callable[[], T]) -> T:
        """Result of `find`, cached by key: several checks need the same."""
        if key not in self._cache:
            self._cache[key] = find()
        return self._cache[key]

    def forget(self) -> None:
        """Drop cached results of checks, not the solutions."""
        self._cache.clear()

    def fits(self, states: Iterable[State]) -> Fits:
        """The fits in several states."""
        return Fits(tuple(self.at(state) for state in states), self.governing)

    @cached_property
    def nominal(self) -> Fit:
        """The fit at the likely interference, frictionless, at the temperature of [fit]."""
        return self.at(frictionless(0.0, self.case.fit.temperature_rise_K))

    def stations(self, count: int = 13) -> np.ndarray:
        """Evenly spaced z along the sleeve, ends included, mm, at which values are reported."""
        return np.linspace(self.case.sleeve.z_start, self.case.sleeve.z_end, count)
