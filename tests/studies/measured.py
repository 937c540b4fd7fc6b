"""What the tool reports of a design, on the meshes it uses and on an overkill one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from functools import partial
from math import hypot
from unittest.mock import patch

import numpy as np
from studies.designs import Design

import hoopwright.pressing.course as pressing
from fem import Resolution
from fem.strain import R
from geometry.joint import joint
from geometry.travel import at_travel, total_travel
from hoopwright.case.model import Case
from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence, evidence_of
from hoopwright.checks.fatigue import (
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)
from hoopwright.checks.micro_slips import SMALLEST, joint_micro_slips
from hoopwright.checks.service_rows import opening
from hoopwright.checks.service_yield import greatest_stress
from hoopwright.checks.warmth import lost_by_fe
from hoopwright.estimate import MOVE, WHOLE, Estimate, Kind
from hoopwright.fit import Bracket, FitState
from hoopwright.study import CaseStudy

STATIONS = 13
SLIGHTEST = 0.05
"""Share of the mean pressure of the fit: where less is left, friction has nothing to hold with, and the
share of it that is used grows without limit."""


@dataclass(frozen=True)
class Overkill(Resolution):
    """A mesh far finer than those of the tool; the coarser ones that come with it are not solved."""

    elements_through_wall: float = 6
    at_joint: float = 0.001
    row_growth: float = 0.8
    at_contact_end: float = 0.001
    at_step: float = 0.05
    at_free_end: float = 0.01
    growth: float = 0.4
    largest: float = 0.35

    def coarser(self) -> Resolution:
        return Throwaway(**{f.name: getattr(Throwaway, f.name) for f in fields(Throwaway)})


@dataclass(frozen=True)
class Throwaway(Resolution):
    """As few elements as will mesh."""

    elements_through_wall: float = 2
    at_joint: float = 0.5
    row_growth: float = 0.0
    at_contact_end: float = 0.5
    at_step: float = 0.5
    at_free_end: float = 0.5
    growth: float = 1.0
    largest: float = 1.0

    def coarser(self) -> Resolution:
        return self


HARMONICS = 4.0
"""Per row of elements, in the overkill solution: 24, where the tool carries 12."""


@dataclass(frozen=True)
class Row:
    """One reported number. scale: what its true error is a share of, in its unit."""

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
"""A quantity, and what tells its instances in one design apart."""


def rows_of(design: Design) -> list[Row]:
    """Every number of a design, reported and true.

    Radial movements are held against the greatest of them, since they may pass through zero;
    interference lost to warmth against the interference; lowest pressure against the mean pressure.
    """
    case = parse_case(design.text)
    reported = dict(_numbers(case, design, Resolution()))
    with patch("hoopwright.service.study.PER_ROW", HARMONICS):
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
    study = CaseStudy(case, resolution, most_nodes=10**9)
    if isinstance(resolution, Overkill):
        study = study.alone()
    yield from _fit(case, study.nominal)
    if design.load == "warm and cold":
        for rise in (design.warm, design.cold):
            for grip, mean in _gripped(study.at(0.0, rise), lambda s: s.mean_pressure, WHOLE):
                yield ("mean pressure, warm and cold", f"{rise} {grip}"), mean
        yield ("interference lost to warmth", ""), lost_by_fe(evidence_of(case, study), design.warm)
    if study.service is not None:
        yield from _service(evidence_of(case, study))
    if design.seed % 5 == 0:
        yield ("force on the way in", ""), _force_on_the_way(case, design, resolution)


def _gripped(
    bracket: Bracket, read: Callable[[FitState], float], kind: Kind
) -> Iterator[tuple[str, Estimate]]:
    return zip(("frictionless", "stuck"), bracket.estimates(read, kind), strict=True)


def _fit(case: Case, bracket: Bracket) -> Iterator[tuple[Name, Estimate]]:
    middle = np.array([0.5 * (case.sleeve.z_start + case.sleeve.z_end)])
    reads: list[tuple[str, Callable[[FitState], float], Kind]] = [
        ("mean pressure", lambda s: s.mean_pressure, WHOLE),
        ("normal force", lambda s: s.normal_force, WHOLE),
        ("friction torque", lambda s: s.friction_torque_arm, WHOLE),
        ("outside growth", lambda s: 2.0 * float(s.radial_move("shell.outside", middle)[0]), MOVE),
    ]
    for what, read, kind in reads:
        for grip, estimate in _gripped(bracket, read, kind):
            yield (what, grip), estimate
    for body in ("shell", "sleeve"):
        yield ("von Mises, pressed", body), bracket.greatest(partial(_peak, body=body))[0]
    yield ("bore closure", "greatest"), bracket.greatest(lambda s: float(_closure(s).max()), MOVE)[0]
    for z in np.linspace(case.sleeve.z_start, case.sleeve.z_end, STATIONS):
        for grip, estimate in _gripped(bracket, partial(_closure_at, z=z), MOVE):
            yield ("bore closure", f"{z} {grip}"), estimate


def _peak(state: FitState, body: str) -> float:
    return state.equivalent_peak(body).value


def _closure(state: FitState) -> np.ndarray:
    return -2.0 * state.press.displacement[state.mesh.face("sleeve.bore"), R]


def _closure_at(state: FitState, z: float) -> float:
    return -2.0 * float(state.radial_move("sleeve.bore", np.array([z]))[0])


def _service(evidence: Evidence) -> Iterator[tuple[Name, Estimate]]:
    for body in ("shell", "sleeve"):
        yield ("von Mises, in service", body), greatest_stress(evidence, body)[0]
    lowest = opening(evidence)
    assert lowest is not None
    yield ("lowest pressure in service", ""), lowest[0]
    slips = joint_micro_slips(evidence)
    shear, held = slips.demand, slips.capacity
    if shear is not None and held is not None and held.value > _little(evidence):
        share = shear.value / held.value
        yield ("share of friction used", ""), Estimate(
            share, hypot(shear.error, share * held.error) / held.value)
    for check in (shell_fatigue_sines, shell_fatigue_walker, sleeve_fatigue_sines, sleeve_fatigue_walker):
        amplitude = check(evidence).demand
        if amplitude is not None:
            yield ("fatigue amplitude", check.__name__), amplitude


def _little(evidence: Evidence) -> float:
    """Shear held below which the joint counts as open, MPa."""
    mean, _ = evidence.loosest.estimates(lambda s: s.mean_pressure)
    return max(SMALLEST, SLIGHTEST * evidence.case.fit.friction_low * mean.value)


def _force_on_the_way(case: Case, design: Design, resolution: Resolution) -> Estimate:
    """At high friction, partly in, as the course of pressing has it: there on coarser meshes."""
    end = pressing.side(case)
    travel = design.travel * total_travel(case.shell, case.sleeve, end)
    friction = case.fit.friction_high
    if isinstance(resolution, Overkill):
        pair = joint(case.shell, at_travel(case.shell, case.sleeve, end, travel))
        return friction * Estimate(pressing._Solved(case, pair, end, resolution).normal(0.0, friction))
    at = pressing._position(case, end, travel, (0.0,) * 5, pressing.on_the_way(resolution))
    return friction * Estimate(at.normal[2], at.numerical_error)
