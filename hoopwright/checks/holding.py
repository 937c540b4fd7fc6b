"""What pushes, pulls and turns the sleeve, against what the seat holds at least interference.

    F = μ ∫ p dA,   T = μ ∫ p r dA     (closed form F = π d L μ p, T = F d / 2)

Force and torque that act together are held by one friction: their resultant on the seat counts.
"""

from __future__ import annotations

from hoopwright.checks.acts import PRELOAD_SOURCE, Act, acts
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import grip
from hoopwright.checks.margin import Margin, Where
from hoopwright.display import Units
from hoopwright.estimate import Estimate


def pushed_out(evidence: Evidence) -> Margin:
    """The sleeve is pushed out, or walks out under one tightened cup."""
    found = acts(evidence.case)
    worst = max(found, key=lambda a: a.axial, default=None)
    wanted = worst.axial if worst else 0.0
    by_cup = bool(worst and worst.what != "[demand]" and wanted)
    holds = grip(evidence, evidence.loosest)
    note = holds.note
    if by_cup and wanted > holds.force.value:
        note = _joined(note, f"one cup, tightened by itself, may pull with {Units().both(wanted, 'N')}: "
                       "let its flange bear on the sleeve, or tighten less")
    return Margin(
        id="pushed_out",
        title="sleeve walks out" if by_cup else "sleeve pushed out",
        demand=Estimate(wanted) if wanted else None,
        capacity=holds.force,
        unit="N",
        factor=evidence.case.factors.holding,
        where=Where("interface"),
        basis=f"{holds.basis}; against {_said(worst) if wanted else '[demand] axial_force'}",
        note=note if wanted else "give [demand] axial_force or [cups] to have this judged",
        doubt=holds.doubt,
    )


def turned(evidence: Evidence) -> Margin:
    found = acts(evidence.case)
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
        where=Where("interface"),
        basis=f"{holds.basis}; against {_said(worst) if wanted else '[demand] torque'}",
        note=holds.note if wanted else "give [demand] torque or [cups] to have this judged",
        doubt=holds.doubt,
    )


def slips_combined(evidence: Evidence) -> Margin:
    """Force and torque of one act together, as the resultant at the mean radius of the seats."""
    holds = grip(evidence, evidence.loosest)
    both = [a for a in acts(evidence.case) if a.axial and a.torque]
    worst = max(both, key=lambda a: a.resultant(holds.radius), default=None)
    return Margin(
        id="slips_combined",
        title="slips, force + torque",
        demand=Estimate(worst.resultant(holds.radius)) if worst else None,
        capacity=holds.force,
        unit="N",
        factor=evidence.case.factors.holding,
        where=Where("interface"),
        basis=f"{holds.basis}; resultant of axial and tangential force at r = {holds.radius:.3f} mm, "
              f"against {_said(worst) if worst else 'force and torque together'}",
        note=holds.note,
        doubt=holds.doubt,
        applies=worst is not None,
    )


def _said(act: Act | None) -> str:
    """The governing act in words, with the way it turns the sleeve."""
    if act is None:
        return ""
    if act.what == "[demand]":
        return "[demand]"
    way = f", which turns the sleeve {act.turns}" if act.torque else ""
    how = f"; {PRELOAD_SOURCE}, at the friction that makes it worst" if act.axial else ""
    return act.what + way + how


def _joined(*parts: str) -> str:
    return "; ".join(part for part in parts if part)
