"""Press-in force at the end of the travel, at greatest interference and high friction."""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.estimate import INTEGRAL, Estimate


def press_in(evidence: Evidence) -> Margin:
    """Press-in force over the whole seat against the capacity of the press."""
    case = evidence.case
    normal, _ = evidence.tightest.greatest(lambda s: s.normal_force, INTEGRAL)
    limit = case.press.capacity
    return Margin(
        id="press_in",
        title="press-in force",
        demand=case.fit.friction_high * normal,
        capacity=None if limit is None else Estimate(limit),
        unit="N",
        factor=case.factors.pressing,
        where=Location("interface"),
        basis=f"friction over the whole seat, high μ = {case.fit.friction_high:g}, greatest interference; "
        "against [press] capacity",
        note="" if limit is not None else "give [press] capacity to have this judged",
    )
