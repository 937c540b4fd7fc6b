"""Numbers that the tool reports of a design, on its own meshes and on an overkill mesh."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from functools import partial
from math import hypot

import numpy as np
from studies.designs import Design

import hoopwright.pressing.force_travel as pressing
from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence, evidence_of
from hoopwright.checks.fatigue import (
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)
from hoopwright.checks.joint_micro_slips import MIN_SHEAR, joint_micro_slips
from hoopwright.checks.service_rows import lowest_pressure
from hoopwright.checks.service_yield import greatest_stress
from hoopwright.checks.temperature import interference_loss_fe
from hoopwright.estimate import DISPLACEMENT, INTEGRAL, Estimate, QuantityKind
from hoopwright.fem import Resolution
from hoopwright.fem.strain import R
from hoopwright.fit import Bracket, FitSolution
from hoopwright.geometry.joint import joint
from hoopwright.geometry.travel import at_travel, total_travel
from hoopwright.study import CaseStudy

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
    reported = dict(_numbers(case, design, Resolution()))
    true = dict(_numbers(case, design, Overkill()))
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


def _numbers(case: Case, design: Design, resolution: Resolution) -> Iterator[tuple[Name, Estimate]]:
    study = CaseStudy(case, resolution, max_nodes=10**9)
    if isinstance(resolution, Overkill):
        study = study.finest_only()
    yield from _fit(case, study.nominal)
    if design.load == "warm and cold":
        for rise in (design.warm, design.cold):
            for grip, mean in _per_friction_state(study.at(0.0, rise), lambda s: s.mean_pressure, INTEGRAL):
                yield ("mean pressure, warm and cold", f"{rise} {grip}"), mean
        yield (
            ("interference lost to warmth", ""),
            interference_loss_fe(evidence_of(case, study), design.warm),
        )
    if study.service is not None:
        yield from _service(evidence_of(case, study))
    if design.seed % 5 == 0:
        yield ("force on the way in", ""), _force_at_travel(case, design, resolution)


def _per_friction_state(
    bracket: Bracket, read: Callable[[FitSolution], float], kind: QuantityKind
) -> Iterator[tuple[str, Estimate]]:
    return zip(("frictionless", "stuck"), bracket.estimates(read, kind), strict=True)


def _fit(case: Case, bracket: Bracket) -> Iterator[tuple[Name, Estimate]]:
    middle = np.array([0.5 * (case.sleeve.z_start + case.sleeve.z_end)])
    reads: list[tuple[str, Callable[[FitSolution], float], QuantityKind]] = [
        ("mean pressure", lambda s: s.mean_pressure, INTEGRAL),
        ("normal force", lambda s: s.normal_force, INTEGRAL),
        ("friction torque", lambda s: s.friction_torque_arm, INTEGRAL),
        (
            "outside growth",
            lambda s: 2.0 * float(s.radial_displacement("shell.outside", middle)[0]),
            DISPLACEMENT,
        ),
    ]
    for what, read, kind in reads:
        for grip, estimate in _per_friction_state(bracket, read, kind):
            yield (what, grip), estimate
    for body in ("shell", "sleeve"):
        yield ("von Mises, pressed", body), bracket.greatest(partial(_peak, body=body))[0]
    yield (
        ("bore closure", "greatest"),
        bracket.greatest(lambda s: float(_closure(s).max()), DISPLACEMENT)[0],
    )
    for z in np.linspace(case.sleeve.z_start, case.sleeve.z_end, STATIONS):
        for grip, estimate in _per_friction_state(bracket, partial(_closure_at, z=z), DISPLACEMENT):
            yield ("bore closure", f"{z} {grip}"), estimate


def _peak(state: FitSolution, body: str) -> float:
    return state.equivalent_peak(body).value


def _closure(state: FitSolution) -> np.ndarray:
    return -2.0 * state.press.displacement[state.mesh.face("sleeve.bore"), R]


def _closure_at(state: FitSolution, z: float) -> float:
    return -2.0 * float(state.radial_displacement("sleeve.bore", np.array([z]))[0])


def _service(evidence: Evidence) -> Iterator[tuple[Name, Estimate]]:
    for body in ("shell", "sleeve"):
        yield ("von Mises, in service", body), greatest_stress(evidence, body)[0]
    lowest = lowest_pressure(evidence)
    assert lowest is not None
    yield ("lowest pressure in service", ""), lowest[0]
    slips = joint_micro_slips(evidence)
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
    mean, _ = evidence.loosest.estimates(lambda s: s.mean_pressure)
    return max(MIN_SHEAR, SLIGHTEST * evidence.case.fit.friction_low * mean.value)


def _force_at_travel(case: Case, design: Design, resolution: Resolution) -> Estimate:
    """Press force at high friction and partial travel, as in the force-travel curve, which uses coarser
    meshes."""
    end = pressing.entry_side(case)
    travel = design.travel * total_travel(case.shell, case.sleeve, end)
    friction = case.fit.friction_high
    if isinstance(resolution, Overkill):
        pair = joint(case.shell, at_travel(case.shell, case.sleeve, end, travel))
        return friction * Estimate(
            pressing._PositionSolver(case, pair, end, resolution).normal(0.0, friction)
        )
    at = pressing._position(case, end, travel, (0.0,) * 5, pressing.travel_resolution(resolution))
    return friction * Estimate(at.normal[2], at.numerical_error)
