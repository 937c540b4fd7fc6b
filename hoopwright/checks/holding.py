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
    found = sleeve_loads(evidence.case)
    worst = max(found, key=lambda a: a.axial, default=None)
    wanted = worst.axial if worst else 0.0
    by_cup = bool(worst and worst.what != "[demand]" and wanted)
    holds = grip(evidence, evidence.loosest)
    note = holds.note
    if by_cup and wanted > holds.force.value:
        note = _joined(
            note,
            f"one cup, tightened by itself, may pull with {Units().both(wanted, 'N')}: "
            "let its flange bear on the sleeve, or tighten less",
        )
    return Margin(
        id="pushed_out",
        title="sleeve walks out" if by_cup else "sleeve pushed out",
        demand=Estimate(wanted) if wanted else None,
        capacity=holds.force,
        unit="N",
        factor=evidence.case.factors.holding,
        where=Location("interface"),
        basis=f"{holds.basis}; against {_described(worst) if wanted else '[demand] axial_force'}",
        note=note if wanted else "give [demand] axial_force or [cups] to have this judged",
        doubt=holds.doubt,
    )


def turned(evidence: Evidence) -> Margin:
    """Greatest torque on the sleeve against the torque the seat holds."""
    found = sleeve_loads(evidence.case)
    worst = max(found, key=lambda a: abs(a.torque), default=None)
    wanted = abs(worst.torque) if worst else 0.0
    holds = grip(evidence, evidence.loosest)
    return Margin(
        id="turned",
        title="sleeve turns",
        demand=Estimate(1e-3 * wanted) if wanted else None,
        capacity=1e-3 * holds.torque,
        unit="N*m",
        factor=evidence.case.factors.holding,
        where=Location("interface"),
        basis=f"{holds.basis}; against {_described(worst) if wanted else '[demand] torque'}",
        note=holds.note if wanted else "give [demand] torque or [cups] to have this judged",
        doubt=holds.doubt,
    )


def slips_combined(evidence: Evidence) -> Margin:
    """Force and torque of one load together, as their resultant at the mean radius of the seats."""
    holds = grip(evidence, evidence.loosest)
    both = [a for a in sleeve_loads(evidence.case) if a.axial and a.torque]
    worst = max(both, key=lambda a: a.resultant(holds.radius), default=None)
    return Margin(
        id="slips_combined",
        title="slips, force + torque",
        demand=Estimate(worst.resultant(holds.radius)) if worst else None,
        capacity=holds.force,
        unit="N",
        factor=evidence.case.factors.holding,
        where=Location("interface"),
        basis=f"{holds.basis}; resultant of axial and tangential force at r = {holds.radius:.3f} mm, "
        f"against {_described(worst) if worst else 'force and torque together'}",
        note=holds.note,
        doubt=holds.doubt,
        applies=worst is not None,
    )


def _described(act: SleeveLoad | None) -> str:
    """The governing load in words, with the sense in which it turns the sleeve."""
    if act is None:
        return ""
    if act.what == "[demand]":
        return "[demand]"
    way = f", which turns the sleeve {act.turning_sense}" if act.torque else ""
    how = f"; {PRELOAD_SOURCE}, at the friction that makes it worst" if act.axial else ""
    return act.what + way + how


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)
