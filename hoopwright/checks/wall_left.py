"""Wall left after boring, the bore off centre by half the runout, against the user's own limit.

There is no built-in rule of thumb.
"""

from __future__ import annotations

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.estimate import Estimate


def wall_left(evidence: Evidence) -> Margin:
    """Thinnest wall of the shell against [shell] least_wall."""
    case = evidence.case
    thinnest = min(evidence.study.joint.shell, key=lambda s: s.wall)
    wall = thinnest.wall - 0.5 * case.runout_mm
    at_start = thinnest.outer_start - thinnest.inner_start <= thinnest.outer_end - thinnest.inner_end
    return Margin(
        id="wall_left",
        title="wall left in shell",
        demand=None if case.min_wall_mm is None else Estimate(case.min_wall_mm),
        capacity=Estimate(wall),
        unit="mm",
        factor=1.0,
        where=Location(
            "shell",
            thinnest.inner_start if at_start else thinnest.inner_end,
            thinnest.z_start if at_start else thinnest.z_end,
        ),
        basis="outside radius less bore radius less half the runout, against [shell] least_wall",
        note="" if case.min_wall_mm is not None else "give [shell] least_wall to have this judged",
    )
