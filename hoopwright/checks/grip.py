"""Holding capacity of the seat: low friction, plus retaining compound as far as it is credited."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.case.holding_model import CompoundInput
from hoopwright.checks.compound import credit_refusals
from hoopwright.checks.evidence import Evidence
from hoopwright.discretisation import Discretisation
from hoopwright.estimate import INTEGRAL, Estimate, from_meshes


@dataclass(frozen=True)
class Grip:
    """Holding capacity of the seat.

    force: N, along the axis or any other direction on the seat; torque: N·mm; radius: mean radius of the
    seats, mm. friction: μ. basis, note, doubt: as in
    Margin.
    """

    force: Estimate
    torque: Estimate
    radius: float
    friction: float
    basis: str
    note: str = ""
    doubt: str = ""


def grip(evidence: Evidence, temperature_rise: float) -> Grip:
    """Capacity of the seat at a temperature, found once for an interference; as `_grip`."""
    return evidence.study.cached(
        ("grip", temperature_rise, evidence.least, evidence.greatest),
        lambda: _grip(evidence, temperature_rise),
    )


def _grip(evidence: Evidence, temperature_rise: float) -> Grip:
    """Capacity at a temperature, K above 20 °C, combined with the compound's credit as the case says.

    Along the axis F = μ ∫ p dA while the sleeve slides out, round it T = μ ∫ p r dA at rest.
    """
    case, study, compound = evidence.case, evidence.study, evidence.case.compound
    pairs = study.fine.meshed_joint.interface
    area = float(2.0 * np.pi * np.sum(pairs.weight))
    area_arm = float(2.0 * np.pi * np.sum(pairs.weight * pairs.r))
    friction = case.fit.friction_low
    if compound is not None and compound.friction_low is not None:
        friction = min(friction, compound.friction_low)
    at_rest = evidence.at(evidence.least, temperature_rise)
    normal = _sliding_force(evidence, temperature_rise, friction)
    arm, _ = at_rest.least(
        f"torque held at {temperature_rise:g}", lambda s: s.friction_torque_arm, INTEGRAL
    )
    basis = f"low μ = {friction:g}, least interference, along the axis while it is pulled out"
    if compound is None:
        return Grip(
            friction * normal, friction * arm, area_arm / area, friction, f"friction alone, {basis}"
        )
    refusals = credit_refusals(compound, evidence)
    shear = 0.0 if refusals else compound.credit * compound.shear_strength
    force, torque = (
        _combined(compound, friction * held, shear * size)
        for held, size in ((normal, area), (arm, area_arm))
    )
    how = f"; compound credited with {shear:g} MPa over the seat"
    if shear:
        how += f", {_HOW[compound.combination or 'greater']} ({compound.source or 'as stated in the case'})"
    pressure, _ = at_rest.greatest(f"pressure at {temperature_rise:g}", lambda s: s.mean_pressure, INTEGRAL)
    return Grip(
        force,
        torque,
        area_arm / area,
        friction,
        basis + how,
        note=_note(compound, refusals, force, case.fit.friction_low * normal),
        doubt=_doubt(compound, case.fit.friction_low, pressure.value),
    )


def _sliding_force(evidence: Evidence, temperature_rise: float, friction: float) -> Estimate:
    """∫ p dA while the sleeve slides out, N, without and with the pull of tightened cups, whichever is
    less."""
    tensions = dict.fromkeys((0.0, evidence.tensions.get(temperature_rise, 0.0)))

    def least(mesh: Discretisation) -> float:
        forces = (
            mesh.sliding_normal_force(evidence.least, temperature_rise, friction, t) for t in tensions
        )
        return min(forces)

    return from_meshes(*map(least, evidence.study.meshes), kind=INTEGRAL)


_HOW = {
    "instead": "instead of friction",
    "added": "added to friction",
    "greater": "where it is more than friction",
}


def _combined(compound: CompoundInput, friction: Estimate, film: float) -> Estimate:
    if film == 0.0 or (compound.combination == "greater" and friction.value >= film):
        return friction
    if compound.combination == "added":
        return Estimate(friction.value + film, friction.error)
    return Estimate(film)


def _note(compound: CompoundInput, refusals: list[str], force: Estimate, dry: Estimate) -> str:
    parts = []
    if refusals:
        parts.append("compound not credited: " + "; ".join(refusals))
    if force.value < dry.value * (1.0 - 1e-9):
        parts.append("with the compound the seat is taken to hold less than dry")
    if compound.friction_low is None:
        parts.append(
            "friction with compound on the seat not given, the dry value is used: a wet seat may hold less"
        )
    return "; ".join(parts)


def _doubt(compound: CompoundInput, friction: float, pressure: float) -> str:
    """Doubt about a film weaker in shear than the dry friction it replaces; "" where there is none."""
    if compound.friction_low is None and compound.shear_strength < friction * pressure:
        return (
            "the compound is weaker in shear than dry friction at this pressure and may weaken the "
            "fit: give [compound] friction_low, or fit it dry"
        )
    return ""
