"""Press-out force and slip torque: what friction holds at least interference and low friction.

    F = μ ∫ p dA,   T = μ ∫ p r dA     (closed form F = π d L μ p, T = F d / 2)
"""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin, Where
from hoopwright.estimate import Estimate

BASIS = "friction alone, low μ = {mu:g}, least interference, worse of frictionless and stuck"


def pushed_out(evidence: Evidence) -> Margin:
    case = evidence.case
    normal, _ = evidence.loosest.least(lambda s: s.normal_force)
    wanted = case.demand.axial_force if case.demand else 0.0
    return Margin(
        id="pushed_out",
        title="sleeve pushed out",
        demand=Estimate(wanted) if wanted else None,
        capacity=case.fit.friction_low * normal,
        unit="N",
        factor=case.factors.holding,
        where=Where("interface"),
        basis=BASIS.format(mu=case.fit.friction_low) + "; against [demand] axial_force",
        note="" if wanted else "give [demand] axial_force to have this judged",
    )


def turned(evidence: Evidence) -> Margin:
    case = evidence.case
    arm, _ = evidence.loosest.least(lambda s: s.friction_torque_arm)
    wanted = case.demand.torque if case.demand else 0.0
    return Margin(
        id="turned",
        title="sleeve turns",
        demand=Estimate(1e-3 * wanted) if wanted else None,
        capacity=1e-3 * case.fit.friction_low * arm,
        unit="N*m",
        factor=case.factors.holding,
        where=Where("interface"),
        basis=BASIS.format(mu=case.fit.friction_low) + "; against [demand] torque",
        note="" if wanted else "give [demand] torque to have this judged",
    )
