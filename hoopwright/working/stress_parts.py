"""The stress at the place that governs, by what causes it, each as membrane, bending and the rest to the
surface."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.fit import FitSolution, Weigh
from hoopwright.service.instants import Instant
from hoopwright.service.study import ServiceSolution, Spot, fit_surfaces
from hoopwright.state import State, as_pressed
from hoopwright.working.sheet import Sheet

SURFACES = ("bore", "outside")
COMPONENTS = ("σ_r", "σ_θ", "σ_z", "τ_rz", "τ_rθ", "τ_θz")
MEANINGS = ("radial", "hoop", "axial", "shear rz", "shear rθ", "shear θz")
PRESSING, CUPS, TEMPERATURE, FORM = "pressing", "cups", "temperature", "form of the bore"
OF_THE_FIT = (PRESSING, TEMPERATURE)
"""Causes of stress that Lamé's formula knows."""
SHARES: Final = (("m", "membrane"), ("b", "bending"), ("s", "rest to the surface"))
"""Index and name of the three shares of a stress, as in Part."""
NIL = 1e-9
"""Stress that is none, MPa."""


@dataclass(frozen=True)
class Part:
    """The stress that one cause adds at a surface of a wall, MPa, each (6,): the mean through the wall, the
    linear part there, and what the surface carries beyond both, none beside a corner."""

    membrane: np.ndarray
    bending: np.ndarray
    rest: np.ndarray

    @property
    def shares(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        return self.membrane, self.bending, self.rest

    @property
    def total(self) -> np.ndarray:
        return np.asarray(self.membrane + self.bending + self.rest)

    def less(self, other: Part) -> Part:
        """What this has beyond another."""
        return Part(*(own - its for own, its in zip(self.shares, other.shares, strict=True)))


@dataclass(frozen=True)
class Place:
    """The stress at the place that governs, by what causes it, on the finest mesh.

    fit: its solution. body; surface: "bore" or "outside"; radius, z: mm; theta: rad, 0 where all is round.
    words: the place in words. loads: the name of what acts in use, as in `parts`, "" for nothing, and
    instant: the moment of it. travels: on the way in.
    """

    parts: dict[str, Part]
    fit: FitSolution
    body: str
    surface: str
    radius: float
    z: float
    theta: float
    words: str
    loads: str = ""
    instant: Instant | None = None
    travels: bool = False

    def symbol(self, component: str, cause: str, share: str) -> str:
        """The symbol of one share of one cause of a component."""
        return f"{component}_{share}{list(self.parts).index(cause) + 1}"


def add_components(sheet: Sheet, place: Place) -> None:
    """Lines for the six components of stress, as sums of the shares of all that causes them."""
    for k, (symbol, meaning) in enumerate(zip(COMPONENTS, MEANINGS, strict=True)):
        terms = []
        for cause, part in place.parts.items():
            for (index, share), stress in zip(SHARES, part.shares, strict=True):
                if abs(stress[k]) <= NIL:
                    continue
                term = place.symbol(symbol, cause, index)
                sheet.solved(term, float(stress[k]), "MPa", f"{meaning} {share}, {cause}", place.words)
                terms.append(term)
        sheet.step(symbol, " + ".join(terms) or "0", "MPa", f"{meaning} stress")


def add_share_of(
    sheet: Sheet, place: Place, symbol: str, component: str, causes: Iterable[str], meaning: str
) -> None:
    """A line for what some causes alone make of one component."""
    shares = (place.symbol(component, cause, index) for cause in causes for index, _ in SHARES)
    terms = [term for term in shares if term in sheet]
    sheet.step(symbol, " + ".join(terms) or "0", "MPa", meaning)


def at_rest(evidence: Evidence, solution: FitSolution, body: str, weigh: Weigh) -> Place:
    """Where a body is nearest to yield in a fit of a round bore. weigh: its stress by its strength."""
    peak = solution.equivalent_peak(body, weigh)
    line = _nearest(solution.walls[body].z, peak.z)
    parts = _fit_parts(evidence, solution, body, peak.surface, line)
    words = f"{peak.surface}, z = {peak.z:.1f} mm"
    return Place(parts, solution, body, peak.surface, peak.r, peak.z, 0.0, words)


def on_the_way_in(solution: FitSolution, body: str, travel: float, weigh: Weigh) -> Place:
    """Where a body is nearest to yield at a position on the way in. travel: mm. weigh: as above."""
    peak = solution.equivalent_peak(body, weigh)
    line = _nearest(solution.walls[body].z, peak.z)
    words = f"{peak.surface}, z = {peak.z:.1f} mm, {travel:.1f} mm in"
    part = fit_part(solution, body, peak.surface, line)
    parts = {PRESSING: part}
    return Place(parts, solution, body, peak.surface, peak.r, peak.z, 0.0, words, travels=True)


def under_loads(
    evidence: Evidence, fit: FitSolution, service: ServiceSolution, spot: Spot, body: str
) -> Place:
    """The stress at a spot under loads or in a bore out of round, at the nearest angle of the grid."""
    wall, own = service.walls[body], SURFACES.index(spot.surface)
    line, angle = _nearest(wall.z, spot.z), nearest_angle(wall.theta, spot.theta)
    parts, loads = _fit_parts(evidence, fit, body, spot.surface, line), ""
    if np.any(wall.static):
        parts[FORM] = _linear(wall.static[:, line, angle], own)
    if spot.instant.case is not None:
        loads = f"loads: {spot.instant.name}"
        parts[loads] = _linear(wall.stress[spot.case, :, line, angle], own)
    theta = float(wall.theta[angle])
    words = f"{spot.surface}, z = {spot.z:.1f} mm, {np.degrees(theta):.0f}°"
    return Place(
        parts, fit, body, spot.surface, spot.r, spot.z, theta, words, loads, spot.instant if loads else None
    )


def nearest_angle(theta: np.ndarray, degrees: float) -> int:
    """Index of the angle of a grid, rad, next to an angle in degrees."""
    return int(np.argmax(np.cos(theta - np.radians(degrees))))


def fit_part(solution: FitSolution, body: str, surface: str, line: int) -> Part:
    """The stress of a fit at one of the lines through the wall of a body."""
    own, wall, points = SURFACES.index(surface), solution.walls[body], solution.stress.reshape(-1, 6)
    outwards = 2.0 * own - 1.0
    membrane = wall.membrane[line]
    bending = outwards * solution.mesh.recovery.lines[body].bending(points)[line]
    return Part(membrane, bending, fit_surfaces(solution, body)[own, line] - membrane - bending)


def _linear(surfaces: np.ndarray, own: int) -> Part:
    """A stress that is linear through the wall, of its values at both surfaces, (2, 6)."""
    return Part(surfaces.mean(axis=0), 0.5 * (surfaces[own] - surfaces[1 - own]), np.zeros(6))


def _fit_parts(
    evidence: Evidence, solution: FitSolution, body: str, surface: str, line: int
) -> dict[str, Part]:
    """What pressing, the cups and the temperature since leave at a place, each added to those before."""

    def at(state: State) -> Part:
        solved = FitSolution(solution.mesh, state, solution.mesh.press(state))
        return fit_part(solved, body, surface, line)

    state = solution.state
    before = at(as_pressed(evidence.case, state))
    parts = {PRESSING: before}
    if state.tension:
        cupped = at(_as_tightened(evidence.case, state))
        parts[CUPS], before = cupped.less(before), cupped
    rest = fit_part(solution, body, surface, line).less(before)
    if state.temperature_rise != evidence.bench or np.any(np.abs(rest.total) > 0.0):
        parts[TEMPERATURE] = rest
    return parts


def _as_tightened(case: Case, state: State) -> State:
    """The state when its cups had just been tightened on the bench."""
    if state.path is None:
        return replace(state, temperature_rise=case.press.temperature_rise_K)
    first = state.path.clamped[0]
    path = replace(state.path, clamped=(first,))
    return State(state.shift, first.temperature_rise, first.tension, path, state.blank)


def _nearest(z: np.ndarray, place: float) -> int:
    return int(np.argmin(np.abs(z - place)))
