"""Push-out and turning of the sleeve against the grip of the seat at least interference.

    F = μ ∫ p dA,   T = μ ∫ p r dA     (closed form F = π d L μ p, T = F d / 2)

Force and torque that act together are held by the same friction, so their resultant on the seat counts.
"""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import grip
from hoopwright.checks.margin import Location, Margin
from hoopwright.checks.sleeve_loads import PRELOAD_SOURCE, SleeveLoad, sleeve_loads
from hoopwright.display import Units
from hoopwright.estimate import Estimate


def pushed_out(evidence: Evidence) -> Margin:
    """Axial load, or the pull of one tightened cup, against the axial grip."""
    loads = sleeve_loads(evidence.case)
    worst = max(loads, key=lambda load: load.axial, default=None)
    demand = worst.axial if worst else 0.0
    by_cup = bool(worst and worst.what != "[demand]" and demand)
    seat_grip = grip(evidence, evidence.case.press.temperature_rise_K)
    note = seat_grip.note
    if by_cup and demand > seat_grip.force.value:
        note = _joined(
            note,
            f"one cup, tightened by itself, may pull with {Units().both(demand, 'N')}: "
            "let its flange bear on the sleeve, or tighten less",
        )
    return Margin(
        id="pushed_out",
        title="sleeve walks out" if by_cup else "sleeve pushed out",
        demand=Estimate(demand) if demand else None,
        capacity=seat_grip.force,
        unit="N",
        factor=evidence.case.factors.holding,
        where=Location("interface"),
        basis=f"{seat_grip.basis}; against {_described(worst) if demand else '[demand] axial_force'}",
        note=note if demand else "give [demand] axial_force or [cups] to have this judged",
        doubt=seat_grip.doubt,
    )


def turned(evidence: Evidence) -> Margin:
    """Greatest torque on the sleeve against the torque the seat holds."""
    loads = sleeve_loads(evidence.case)
    worst = max(loads, key=lambda load: abs(load.torque), default=None)
    demand = abs(worst.torque) if worst else 0.0
    seat_grip = grip(evidence, evidence.case.press.temperature_rise_K)
    return Margin(
        id="turned",
        title="sleeve turns",
        demand=Estimate(1e-3 * demand) if demand else None,
        capacity=1e-3 * seat_grip.torque,
        unit="N*m",
        factor=evidence.case.factors.holding,
        where=Location("interface"),
        basis=f"{seat_grip.basis}; against {_described(worst) if demand else '[demand] torque'}",
        note=seat_grip.note if demand else "give [demand] torque or [cups] to have this judged",
        doubt=seat_grip.doubt,
    )


def slips_combined(evidence: Evidence) -> Margin:
    """Force and torque of one load together, as their resultant at the mean radius of the seats."""
    seat_grip = grip(evidence, evidence.case.press.temperature_rise_K)
    both = [load for load in sleeve_loads(evidence.case) if load.axial and load.torque]
    worst = max(both, key=lambda load: load.resultant(seat_grip.radius), default=None)
    return Margin(
        id="slips_combined",
        title="slips, force + torque",
        demand=Estimate(worst.resultant(seat_grip.radius)) if worst else None,
        capacity=seat_grip.force,
        unit="N",
        factor=evidence.case.factors.holding,
        where=Location("interface"),
        basis=f"{seat_grip.basis}; resultant of axial and tangential force at "
        f"r = {seat_grip.radius:.3f} mm, "
        f"against {_described(worst) if worst else 'force and torque together'}",
        note=seat_grip.note,
        doubt=seat_grip.doubt,
        applies=worst is not None,
    )


def _described(load: SleeveLoad | None) -> str:
    """The governing load in words, with the sense in which it turns the sleeve."""
    if load is None:
        return ""
    if load.what == "[demand]":
        return "[demand]"
    sense = f", which turns the sleeve {load.turning_sense}" if load.torque else ""
    source = f"; {PRELOAD_SOURCE}, at the friction that makes it worst" if load.axial else ""
    return load.what + sense + source


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)
