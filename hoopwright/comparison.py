"""Compare the finite elements with Lamé's closed form, with which they must agree where it applies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from hoopwright.case.model import Case
from hoopwright.closed_form.compound_cylinder import CompoundCylinder, compound_cylinder, contact_pressure
from hoopwright.estimate import INTEGRAL, Estimate
from hoopwright.fem import radial
from hoopwright.fit import FitSolution, FitStudy
from hoopwright.geometry import Land
from hoopwright.geometry.joint import Joint, Segment, stands_proud
from hoopwright.materials import Material

# Relative difference allowed between a converged axisymmetric model and the closed form of the same pair.
TOLERANCE = 2e-3


@dataclass(frozen=True)
class Pairing:
    """One quantity by finite elements, with its numerical error, and by the closed form, in `unit`."""

    what: str
    fe: Estimate
    closed_form: float
    unit: str

    @property
    def difference(self) -> float:
        """FE / closed form − 1; nan where the closed form is zero."""
        return self.fe.value / self.closed_form - 1.0 if self.closed_form else float("nan")

    @property
    def agrees(self) -> bool:
        allowed = TOLERANCE * abs(self.closed_form) + 2.0 * self.fe.error
        return abs(self.fe.value - self.closed_form) <= allowed


@dataclass(frozen=True)
class Comparison:
    """Every quantity compared, and whether the closed form applies to the case.

    closed_form: the compound cylinder at nominal interference, plane stress. reasons: why Lamé does not
    apply to the case as a whole; empty where it does, and then a disagreement invalidates the run.
    """

    closed_form: CompoundCylinder
    pairings: tuple[Pairing, ...]
    reasons: tuple[str, ...]

    @property
    def applies(self) -> bool:
        return not self.reasons

    @property
    def contradicts(self) -> bool:
        """Whether finite elements and closed form disagree although the closed form applies."""
        return self.applies and not all(p.agrees for p in self.pairings)


def compare(case: Case, study: FitStudy) -> Comparison:
    """Compare mean contact pressure, and hoop stress at mid-sleeve, of the frictionless nominal fit."""
    lame = closed_form_of(case, study.joint, study.nominal_interference)
    mean = study.nominal.estimate(lambda s: s.mean_pressure, INTEGRAL)
    pairings = [Pairing("mean contact pressure", mean, float(lame.pressure), "MPa")]
    hoops = {
        "shell.bore": lame.shell_hoop_interface,
        "shell.outside": lame.shell_hoop_outside,
        "sleeve.outside": lame.sleeve_hoop_interface,
        "sleeve.bore": lame.sleeve_hoop_bore,
    }
    for face, value in hoops.items():
        hoop = study.nominal.estimate(partial(_hoop_at_mid_sleeve, face=face))
        pairings.append(Pairing(f"hoop stress, {face.replace('.', ' ')}", hoop, float(value), "MPa"))
    return Comparison(lame, tuple(pairings), _reasons(case, study))


def closed_form_of(case: Case, joint: Joint, interference: float) -> CompoundCylinder:
    """The compound cylinder of a joint at the temperature of [fit]. interference: diametral, 20 °C, mm."""
    interface, outside, bore = radii_along_seats(joint)
    pair: dict[str, Any] = {
        "sleeve_bore_radius": bore,
        "interface_radius": interface,
        "shell_outer_radius": outside,
        "sleeve": _elastic_constants(case.sleeve_material),
        "shell": _elastic_constants(case.shell_material),
    }
    pressure = contact_pressure(
        radial_interference=radial(interference),
        sleeve_alpha=case.sleeve_material.mean_expansion(case.fit.temperature_rise_K),
        shell_alpha=case.shell_material.mean_expansion(case.fit.temperature_rise_K),
        temperature_change=case.fit.temperature_rise_K,
        **pair,
    )
    return compound_cylinder(pressure=pressure, **pair)


def _elastic_constants(material: Material) -> tuple[float, float]:
    return material.young_modulus, material.poisson_ratio


def mean_radii(study: FitStudy) -> tuple[float, float, float]:
    """Radii of interface, shell outside and sleeve bore, averaged along the seats, mm."""
    return radii_along_seats(study.joint)


def radii_along_seats(joint: Joint) -> tuple[float, float, float]:
    """The same of a joint that is not meshed."""

    def mean(segments: Sequence[Segment], start: str, end: str) -> float:
        share = [
            (s.z_end - s.z_start)
            * any(t.z_start <= 0.5 * (s.z_start + s.z_end) <= t.z_end for t in joint.seats)
            for s in segments
        ]
        middle = [0.5 * (getattr(s, start) + getattr(s, end)) for s in segments]
        return float(np.average(middle, weights=share))

    return (
        mean(joint.shell, "inner_start", "inner_end"),
        mean(joint.shell, "outer_start", "outer_end"),
        mean(joint.sleeve, "inner_start", "inner_end"),
    )


def _hoop_at_mid_sleeve(solution: FitSolution, face: str) -> float:
    """Hoop stress of a face at mid-sleeve, MPa."""
    z, stress = solution.face_hoop(face)
    return float(np.interp(solution.mesh.meshed_joint.joint.middle, z, stress))


def _reasons(case: Case, study: FitStudy) -> tuple[str, ...]:
    """How the case differs from two plain cylinders of equal length; empty where it does not."""
    sleeve, shell = case.sleeve, case.shell
    reasons = []
    if sleeve.z_start > 1e-6 or sleeve.z_end < shell.width - 1e-6:
        reasons.append("the sleeve is shorter than the shell, whose bare ends help to carry it")
    if stands_proud(shell, sleeve):
        reasons.append("the sleeve reaches beyond the shell, and its bare end helps to carry it")
    if len(shell.bore) > 1 or len(sleeve.outside) > 1 or _tapered(shell.bore + sleeve.outside):
        reasons.append("the seat is stepped or tapered, so the interference varies along it")
    if len(shell.outside) > 1 or _tapered(shell.outside):
        reasons.append("the outside of the shell is stepped or tapered")
    if len({round(z.diameter, 9) for z in sleeve.bore}) > 1:
        reasons.append("the bore of the sleeve changes along it")
    if sleeve.chamfer_left or sleeve.chamfer_right:
        reasons.append("the lead-in chamfers shorten the contact")
    if not study.nominal.finest.press.closed.all():
        reasons.append("part of the seat does not touch")
    return tuple(reasons)


def _tapered(lands: Sequence[Land]) -> bool:
    return any(abs(land.diameter_end - land.diameter_start) > 1e-9 for land in lands)
