"""Yield of the thin side of the shell, whose bore is off centre by half the runout.

The greatest stress of the concentric model, pressed or in service, is multiplied by the closed-form rise
of the hoop stress of a plane (2-D) tube when its bore moves off centre, or by that of ring bending.
"""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.checks.pressed_yield import greatest_pressed_stress
from hoopwright.checks.service_rows import doubtful_if_joint_opens
from hoopwright.checks.service_yield import greatest_stress
from hoopwright.closed_form.eccentric_tube import thin_side_hoop
from hoopwright.estimate import Estimate

METHOD = (
    "the greater of Jeffery's rise of hoop stress, exact for a plane tube under even pressure, "
    "and, in service, (wall/wall left)², the rise of ring bending: an upper bound where both act"
)


def thin_side_yields(evidence: Evidence) -> Margin:
    """Stress on the thin side of an eccentric bore against the yield strength of the shell."""
    case, study = evidence.case, evidence.study
    demand, where, stage = _stress(evidence)
    rise, wall = _rise(evidence)
    margin = Margin(
        id="thin_side_yields",
        title="thin side yields",
        demand=demand * rise,
        capacity=Estimate(case.shell_material.yield_strength),
        unit="MPa",
        factor=case.factors.yielding,
        where=where,
        applies=case.runout_mm > 0.0,
        basis=f"greatest stress of the shell, {stage}, times {rise:.4f} for a wall of {wall:.3f} mm on the "
        f"thin side ([shell] runout); {METHOD}",
    )
    return doubtful_if_joint_opens(evidence, margin) if study.service else margin


def _stress(evidence: Evidence) -> tuple[Estimate, Location, str]:
    """Greatest von Mises stress of the shell, its location, and "pressed" or "in service"."""
    if evidence.study.service is not None:
        demand, spot, _ = greatest_stress(evidence, "shell")
        return demand, Location(spot.body, spot.r, spot.z), "in service"
    worst = greatest_pressed_stress(evidence, "shell")
    return worst.demand, worst.where, "pressed"


def _rise(evidence: Evidence) -> tuple[float, float]:
    """Factor on the stress, inf where no wall is left, and the wall on the thin side, mm."""
    thinnest = min(evidence.study.joint.shell, key=lambda s: s.wall)
    bore, eccentricity = thinnest.inner_start, 0.5 * evidence.case.runout_mm
    wall_left = thinnest.wall - eccentricity
    if wall_left <= 0.0:
        return float("inf"), wall_left
    outside = bore + thinnest.wall
    eccentricity = min(eccentricity, 0.5 * bore)
    moved, centred = (float(thin_side_hoop(a=bore, b=outside, eccentricity=e)) for e in (eccentricity, 0.0))
    bending = (thinnest.wall / wall_left) ** 2 if evidence.study.service else 1.0
    return max(moved / centred, bending), wall_left
