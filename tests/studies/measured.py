"""Numbers that the tool reports of a design, on its own meshes and on an overkill mesh."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields
from functools import partial
from math import hypot

import numpy as np
from studies.designs import Design

from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence, evidence_of
from hoopwright.checks.fatigue import (
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)
from hoopwright.checks.joint_slips import MIN_SHEAR, joint_slips
from hoopwright.checks.service_rows import loosest_of_all
from hoopwright.checks.stage_stress import stress_reader, worst_loaded
from hoopwright.checks.stays_tight import interference_lost
from hoopwright.discretisation import BODIES
from hoopwright.estimate import DISPLACEMENT, INTEGRAL, Estimate, QuantityKind, from_meshes
from hoopwright.fem import Resolution
from hoopwright.fem.strain import R
from hoopwright.fit import Fit, FitSolution, Governing
from hoopwright.state import being_pushed, let_go, warmed
from hoopwright.study import CaseStudy
from hoopwright.way_in import WayIn

STATIONS = 13
SLIGHTEST = 0.05
"""Share of the mean pressure of the fit: where less pressure is left, there is no friction to speak of,
and the used share of it grows without limit."""


@dataclass(frozen=True)
class Overkill(Resolution):
    """A mesh far finer than those of the tool; the coarser meshes that belong to it are not solved."""

    elements_through_wall: float = 6
    at_joint: float = 0.001
    row_growth: float = 0.8
    at_contact_end: float = 0.001
    at_step: float = 0.05
    at_free_end: float = 0.01
    growth: float = 0.4
    largest: float = 0.35
    harmonics: int = 24
    angles: int = 144

    def coarser(self) -> Resolution:
        return Throwaway(**{f.name: getattr(Throwaway, f.name) for f in fields(Throwaway)})


@dataclass(frozen=True)
class Throwaway(Resolution):
    """A mesh with as few elements as possible."""

    elements_through_wall: float = 2
    at_joint: float = 0.5
    row_growth: float = 0.0
    at_contact_end: float = 0.5
    at_step: float = 0.5
    at_free_end: float = 0.5
    growth: float = 1.0
    largest: float = 1.0
    harmonics: int = 4
    angles: int = 24

    def coarser(self) -> Resolution:
        return self


@dataclass(frozen=True)
class Row:
    """One reported number. scale: the number, in the same unit, that its true error is a share of."""

    quantity: str
    value: float
    error: float
    true: float
    scale: float

    @property
    def true_error(self) -> float:
        return abs(self.value - self.true)

    @property
    def share(self) -> float:
        return self.true_error / max(self.scale, 1e-300)

    @property
    def covered(self) -> bool:
        return self.true_error <= self.error


Name = tuple[str, str]
"""A quantity, and the key of one of its instances in a design."""


def rows_of(design: Design) -> list[Row]:
    """Every number of a design, reported and true.

    Errors of radial displacements are relative to the greatest of them, since they may pass through
    zero; those of interference lost to heat to the interference; those of the lowest pressure to the
    mean pressure.
    """
    case = parse_case(design.text)
    study = CaseStudy(case, Resolution(), max_nodes=10**9)
    reported = dict(_numbers(design, study))
    true = dict(_numbers(design, overkill_of(study)))
    radial = max(abs(e.value) for (what, _), e in true.items() if what.startswith(("bore", "outside")))
    whole = {
        "bore closure": radial,
        "outside growth": radial,
        "interference lost": design.interference,
        "lowest pressure": max(e.value for (what, _), e in true.items() if what == "mean pressure"),
    }
    found = []
    for name, e in reported.items():
        if name in true:
            other = next((s for start, s in whole.items() if name[0].startswith(start)), None)
            scale = abs(true[name].value) if other is None else other
            found.append(Row(name[0], e.value, e.error, true[name].value, scale))
    return found


def overkill_of(reported: CaseStudy) -> CaseStudy:
    """The study of the same case on the overkill mesh alone.

    It looks for the state that governs by itself, but on the way in takes the position that governs the
    reported study: a search over all positions would cost more than all the rest.
    """
    case, resolution = reported.case, Overkill()
    study = CaseStudy(case, resolution, max_nodes=10**9)
    service = None if study.service is None else study.service.solutions
    return CaseStudy(
        case,
        resolution,
        meshes=study.meshes[:1],
        service_solutions=service and {condition: found[:1] for condition, found in service.items()},
        way_in=WayIn(case, (resolution,), Governing(reported.way_in.governing.found)),
    )


def _numbers(design: Design, study: CaseStudy) -> Iterator[tuple[Name, Estimate]]:
    case = study.case
    yield from _fit(study)
    if design.load == "warm and cold":
        for state in warmed(case, 0.0, (design.cold, design.warm)):
            if state.temperature_rise:
                mean = study.at(state).estimate(lambda s: s.mean_pressure, INTEGRAL)
                yield ("mean pressure, warm and cold", f"{state}"), mean
        yield ("interference lost to warmth", ""), interference_lost(study, design.warm)
    if study.service is not None:
        yield from _service(evidence_of(case, study))
    if design.seed % 5 == 0:
        yield from _way_in(design, study)


def _fit(study: CaseStudy) -> Iterator[tuple[Name, Estimate]]:
    case = study.case
    middle = np.array([0.5 * (case.sleeve.z_start + case.sleeve.z_end)])
    fits = study.fits(let_go(case, 0.0))
    reads: list[tuple[str, Callable[[FitSolution], float], QuantityKind]] = [
        ("mean pressure", lambda s: s.mean_pressure, INTEGRAL),
        ("normal force", lambda s: s.normal_force, INTEGRAL),
        ("friction torque", lambda s: float(s.torque_arm_by_seat.sum()), INTEGRAL),
        (
            "outside growth",
            lambda s: float(s.outside_growth(middle)[0]),
            DISPLACEMENT,
        ),
    ]
    for what, read, kind in reads:
        yield from _per_state(what, fits.fits, read, kind)
    sliding = (
        min(float(n.sum()) for n in m.sliding_normal_forces(0.0, 0.0, case.fit.friction_low))
        for m in study.meshes
    )
    yield ("normal force, sliding", ""), from_meshes(*sliding, kind=INTEGRAL)
    for body in BODIES:
        yield ("von Mises, at rest", body), fits.greatest(f"{body} at rest", partial(_peak, body=body))[0]
    yield (
        ("bore closure", "greatest"),
        fits.greatest("closure", lambda s: float(_closure(s).max()), DISPLACEMENT)[0],
    )
    for z in np.linspace(case.sleeve.z_start, case.sleeve.z_end, STATIONS):
        for (what, state), e in _per_state(
            "bore closure", fits.fits, partial(_closure_at, z=z), DISPLACEMENT
        ):
            yield (what, f"{z} {state}"), e


def _per_state(
    what: str, fits: Iterable[Fit], read: Callable[[FitSolution], float], kind: QuantityKind
) -> Iterator[tuple[Name, Estimate]]:
    for fit in fits:
        yield (what, fit.state.friction_text), fit.estimate(read, kind)


def _peak(state: FitSolution, body: str) -> float:
    return state.equivalent_peak(body).value


def _closure(state: FitSolution) -> np.ndarray:
    return -2.0 * state.press.displacement[state.mesh.face("sleeve.bore"), R]


def _closure_at(state: FitSolution, z: float) -> float:
    return float(state.bore_closure(np.array([z]))[0])


def _service(evidence: Evidence) -> Iterator[tuple[Name, Estimate]]:
    for body in ("shell", "sleeve"):
        yield ("von Mises, in service", body), worst_loaded(evidence, body).estimate(stress_reader(body))[0]
    loosest = loosest_of_all(evidence)
    assert loosest is not None
    yield ("lowest pressure in service", ""), loosest.lowest
    slips = joint_slips(evidence)
    shear, capacity = slips.demand, slips.capacity
    if shear is not None and capacity is not None and capacity.value > _least_capacity(evidence):
        share = shear.value / capacity.value
        yield (
            ("share of friction used", ""),
            Estimate(share, hypot(shear.error, share * capacity.error) / capacity.value),
        )
    for check in (shell_fatigue_sines, shell_fatigue_walker, sleeve_fatigue_sines, sleeve_fatigue_walker):
        amplitude = check(evidence).demand
        if amplitude is not None:
            yield ("fatigue amplitude", check.__name__), amplitude


def _least_capacity(evidence: Evidence) -> float:
    """Friction capacity, MPa, below which the joint counts as open."""
    mean = evidence.study.nominal.finest.mean_pressure
    return max(MIN_SHEAR, SLIGHTEST * evidence.case.fit.friction_low * mean)


def _way_in(design: Design, study: CaseStudy) -> Iterator[tuple[Name, Estimate]]:
    """Press force at high friction and partial travel, as in the force-travel curve, which uses coarser
    meshes; greatest stresses."""
    case, way_in = study.case, study.way_in
    travel, friction = design.travel * way_in.home, case.fit.friction_high
    state = being_pushed(case, 0.0, friction)
    levels = (-1, -2)[: len(way_in.resolutions)]
    forces = (friction * way_in.normal_force(travel, level, state) for level in levels)
    yield ("force on the way in", ""), from_meshes(*forces, kind=INTEGRAL)
    for body in BODIES:
        worst = way_in.greatest_stress(body, 0.0)
        place = way_in._governing(body, 0.0)
        assert worst is not None
        assert place is not None
        found = [way_in.solution(0.0, place, level) for level in range(len(way_in.resolutions))]
        # without the strict lines beside corners: what the meshes say of the stress that is judged
        of_meshes = from_meshes(*(s.equivalent_peak(body).value for s in found))
        yield ("von Mises, on the way in", body), Estimate(worst.value.value, of_meshes.error)
