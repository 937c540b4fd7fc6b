"""Holding capacity of the seat: low friction, plus retaining compound on the lands where it is credited."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from hoopwright.case.holding_model import CompoundInput
from hoopwright.checks.compound import (
    LandCredit,
    film_doubt,
    friction_note,
    holding_friction,
    land_credits,
    refusals_note,
    uncredited_shear_max,
)
from hoopwright.checks.evidence import Evidence
from hoopwright.discretisation import Discretisation
from hoopwright.display import Units
from hoopwright.estimate import INTEGRAL, Estimate, from_meshes


@dataclass(frozen=True)
class Grip:
    """Holding capacity of the seat.

    force: N, along the axis or any other direction on the seat; torque: N·mm; radius: mean radius of the
    seats, mm. friction: μ; by_seat, torque_by_seat: what friction alone carries, (seats,), N and N·mm, on
    the finest mesh; area, area_arm: ∫ dA and ∫ r dA, (seats,), mm² and mm³. basis, note, doubt: as in
    Margin. left: share of force and torque that a slip at the proof load leaves of all this.
    """

    force: Estimate
    torque: Estimate
    radius: float
    friction: float
    by_seat: np.ndarray
    torque_by_seat: np.ndarray
    area: np.ndarray
    area_arm: np.ndarray
    basis: str
    note: str = ""
    doubt: str = ""
    left: float = 1.0


def grip(evidence: Evidence, temperature_rise: float) -> Grip:
    """Capacity of the seat at a temperature, found once for an interference, and no more than a slip at the
    proof load leaves of it."""
    found, left = computed_grip(evidence, temperature_rise), left_by_proof(evidence)
    if left == 1.0:
        return found
    proof = evidence.case.proof
    before = "" if proof is None or proof.left is None else " with the sleeve before this one"
    share = f"{100.0 * left:.3g} % of what was computed is left"
    note = f"the joint{before} slipped at the load of [proof]: {share}"
    return replace(
        found,
        force=found.force * left,
        torque=found.torque * left,
        note="; ".join(text for text in (found.note, note) if text),
        left=left,
    )


def computed_grip(evidence: Evidence, temperature_rise: float) -> Grip:
    """The same before any proof; as `_grip`."""
    return evidence.study.cached(
        ("grip", temperature_rise, evidence.least, evidence.greatest),
        lambda: _grip(evidence, temperature_rise),
    )


def left_by_proof(evidence: Evidence) -> float:
    """Share of the computed capacity that is left where the joint slipped on the bench: a slip bounds
    μ ∫ p dA from above there, and in proportion at every temperature. Never above 1."""
    proof = evidence.case.proof
    if proof is None or not proof.slipped:
        return 1.0
    if proof.left is not None:
        return proof.left
    bench = computed_grip(evidence, evidence.bench)
    load, computed = (proof.torque, bench.torque) if proof.push is None else (proof.push, bench.force)
    assert load is not None
    return 1.0 if computed.value <= load else load / computed.value


def _grip(evidence: Evidence, temperature_rise: float) -> Grip:
    """Capacity at a temperature, K above 20 °C, combined with the compound's credit as the case says.

    Along the axis F = μ ∫ p dA while the sleeve slides out, round it T = μ ∫ p r dA at rest, each summed
    over the lands.
    """
    case, study, compound = evidence.case, evidence.study, evidence.case.compound
    friction, lands = holding_friction(case), land_credits(evidence)
    interface = study.fine.meshed_joint.interface
    area, area_arm = interface.area_by_seat, interface.area_arm_by_seat
    at_rest = evidence.at(evidence.least, temperature_rise)
    basis = f"low μ = {friction:g}, least interference, along the axis while it is pulled out"

    def held(by_friction: np.ndarray) -> float:
        return _held(compound, lands, by_friction, area)

    def weakest(mesh: Discretisation) -> np.ndarray:
        normals = _sliding_forces(evidence, mesh, temperature_rise, friction)
        return min((friction * normal for normal in normals), key=held)

    torque, turning = at_rest.least(
        f"torque held at {temperature_rise:g}",
        lambda s: _held(compound, lands, friction * s.torque_arm_by_seat, area_arm),
        INTEGRAL,
    )
    by_mesh = [weakest(mesh) for mesh in study.meshes]
    found = Grip(
        from_meshes(*map(held, by_mesh), kind=INTEGRAL),
        torque,
        float(area_arm.sum() / area.sum()),
        friction,
        by_mesh[0],
        friction * turning.torque_arm_by_seat,
        area,
        area_arm,
        f"friction alone, {basis}" if compound is None else basis + _how(compound, lands),
    )
    return found if compound is None else _with_warnings(found, evidence, temperature_rise, lands)


def _with_warnings(
    found: Grip, evidence: Evidence, temperature_rise: float, lands: tuple[LandCredit, ...]
) -> Grip:
    """The capacity with what is to be said of the compound."""
    pressure, _ = evidence.at(evidence.least, temperature_rise).greatest(
        f"pressure at {temperature_rise:g}", lambda s: float(s.pressure_by_seat.max()), INTEGRAL
    )
    dry = evidence.case.fit.friction_low * min(
        float(normal.sum())
        for normal in _sliding_forces(evidence, evidence.study.fine, temperature_rise, found.friction)
    )
    weaker = found.force.value < dry * (1.0 - 1e-9)
    notes = (
        refusals_note(lands),
        "with the compound the seat is taken to hold less than dry" if weaker else "",
        friction_note(evidence.case),
    )
    return replace(
        found,
        note="; ".join(note for note in notes if note),
        doubt=film_doubt(evidence.case, pressure.value),
    )


def _sliding_forces(
    evidence: Evidence, mesh: Discretisation, temperature_rise: float, friction: float
) -> Iterable[np.ndarray]:
    """∫ p dA of every seat while the sleeve slides out, N, in both directions, without and with the pull of
    two tightened cups. That of a single one is itself such a force, which begins further in and squeezes
    the seat with its wedge besides."""
    alone = evidence.case.draws_sleeve
    tensions = dict.fromkeys((0.0, 0.0 if alone else evidence.tensions.get(temperature_rise, 0.0)))
    for tension in tensions:
        yield from mesh.sliding_normal_forces(evidence.least, temperature_rise, friction, tension)


_HOW = {
    "instead": "instead of friction",
    "added": "added to friction",
    "greater": "where it is more than friction",
}


def _how(compound: CompoundInput, lands: tuple[LandCredit, ...]) -> str:
    shears = [credit.shear for credit in lands if credit.shear]
    if not shears:
        return "; compound credited nowhere"
    return (
        f"; compound credited with {Units().both(shears[0], 'MPa')} over {len(shears)} of {len(lands)} "
        f"seats, {_HOW[compound.combination or 'greater']} ({compound.source or 'as stated in the case'})"
    )


def _held(
    compound: CompoundInput | None, lands: tuple[LandCredit, ...], friction: np.ndarray, size: np.ndarray
) -> float:
    """What the lands hold together. friction: by itself, (seats,), N or N·mm; size: ∫ dA or ∫ r dA,
    (seats,). What is the greater is so of the whole seat, since the film gives way before friction does."""
    by_friction = float(friction.sum())
    if compound is None:
        return by_friction
    film = np.array([credit.shear for credit in lands]) * size
    if compound.combination == "added":
        return by_friction + float(film.sum())
    uncredited = np.minimum(friction, uncredited_shear_max(compound) * size)
    instead = float(np.where(film > 0.0, film, uncredited).sum())
    return instead if compound.combination == "instead" else max(by_friction, instead)
