"""Thin side yields: the bore off centre by half the runout, so that one side of the shell is thinner.

The worst stress of the round model, pressed or in service, times how much the hoop stress of a plane
tube under the same pressure rises when its bore is moved off centre (closed form), or ring bending.
"""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin, Where
from hoopwright.checks.service_rows import resting_on_the_joint
from hoopwright.checks.service_yield import greatest_stress
from hoopwright.closed_form.eccentric import thin_side_hoop
from hoopwright.estimate import Estimate

HOW_GOOD = ("the greater of Jeffery's rise of hoop stress, exact for a plane tube under even pressure, "
            "and, in service, (wall/wall left)², the rise of ring bending: an upper bound where both act")


def thin_side_yields(evidence: Evidence) -> Margin:
    case, study = evidence.case, evidence.study
    demand, where, what = _stress(evidence)
    share, wall = _rise(evidence)
    margin = Margin(
        id="thin_side_yields", title="thin side yields", demand=demand * share,
        capacity=Estimate(case.shell_material.yield_strength), unit="MPa", factor=case.factors.yielding,
        where=where, applies=case.runout_mm > 0.0,
        basis=f"greatest stress of the shell, {what}, times {share:.4f} for a wall of {wall:.3f} mm on the "
              f"thin side ([shell] runout); {HOW_GOOD}")
    return resting_on_the_joint(evidence, margin) if study.service else margin


def _stress(evidence: Evidence) -> tuple[Estimate, Where, str]:
    """Greatest von Mises stress of the shell, its place, and whether service takes part."""
    if evidence.study.service is not None:
        demand, spot = greatest_stress(evidence, "shell")
        return demand, Where(spot.body, spot.r, spot.z), "in service"
    demand, state = evidence.tightest.greatest(lambda s: s.equivalent_peak("shell").value)
    return demand, Where.of(state.equivalent_peak("shell")), "pressed"


def _rise(evidence: Evidence) -> tuple[float, float]:
    """Factor on the stress, and the wall left on the thin side, mm; inf where none is left."""
    thinnest = min(evidence.study.joint.shell, key=lambda s: s.wall)
    bore, off = thinnest.inner_start, 0.5 * evidence.case.runout_mm
    left = thinnest.wall - off
    if left <= 0.0:
        return float("inf"), left
    outside = bore + thinnest.wall
    off = min(off, 0.5 * bore)
    moved, centred = (float(thin_side_hoop(a=bore, b=outside, eccentricity=e)) for e in (off, 0.0))
    bending = (thinnest.wall / left) ** 2 if evidence.study.service else 1.0
    return max(moved / centred, bending), left
