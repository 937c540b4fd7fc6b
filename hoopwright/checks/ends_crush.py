"""Crushing of the end faces that carry the push: the ram's on the sleeve, the rest's on the shell.

Both are taken to bear evenly on the whole face, chamfers off.
"""

from __future__ import annotations

from math import pi

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, When, not_in_the_case, row_of, worst_of
from hoopwright.entry import entry_side
from hoopwright.estimate import Estimate
from hoopwright.geometry.land import End, at_end, opposite
from hoopwright.strength import Allowable, allowable

CHAMFER_SLOPE = 0.58
"""Depth of a lead-in chamfer over its length where its angle is not stated: tan 30°, the steepest that is
usual, and no deeper than half the wall. Common practice, no source."""


def ends_crush(evidence: Evidence) -> Margin:
    """Mean axial stress on both faces under the greatest force of the way in, against yield."""
    if evidence.case.press.slips_in:
        return not_in_the_case("ends_crush", "ends crush", "MPa", "entering", "the sleeve slips in")
    return row_of([worst_of([_on(evidence, "sleeve"), _on(evidence, "shell")])])


def _on(evidence: Evidence, body: str) -> Margin:
    case = evidence.case
    friction = max(case.press.restart_ratio, 1.0) * case.pressing_friction[1]
    force, travel = evidence.study.way_in.greatest_force(evidence.greatest, friction)
    inner, outer = pushed_face(evidence, body)
    metal = end_metal(evidence, body)
    area = 0.25 * pi * max(outer**2 - inner**2, 0.0)
    return Margin(
        id="ends_crush",
        title="ends crush",
        demand=force * (1.0 / area) if area else Estimate(float("inf")),
        capacity=Estimate(metal.value),
        unit="MPa",
        factor=case.factors.yielding,
        where=Location(body, 0.25 * (inner + outer)),
        basis=f"greatest force of the whole way in over the {body}'s end face of {area:.0f} mm² that "
        f"carries it, chamfers off, even; against {metal.text}",
        doubt=metal.doubt,
        stage="entering",
        when=When(evidence.bench, f"μ = {friction:.3g}", travel=travel),
    )


def end_metal(evidence: Evidence, body: str) -> Allowable:
    """What the end of a body that carries the push stands along the axis."""
    shell, far = evidence.case.shell, opposite(entry_side(evidence.case))
    z = None if body == "sleeve" else 0.0 if far == "left" else shell.width
    return allowable(evidence.case, body, "entering", z=z, direction="axial", rise=None)


def pushed_face(evidence: Evidence, body: str) -> tuple[float, float]:
    """Inner and outer diameter of the end face of a body that carries the push, mm."""
    mouth = entry_side(evidence.case)
    return sleeve_face(evidence, mouth) if body == "sleeve" else _shell_face(evidence, mouth)


def sleeve_face(evidence: Evidence, end: End) -> tuple[float, float]:
    """Inner and outer diameter of an end face of the sleeve as it is pressed, mm, chamfer off; of a flange
    what lies over the neck behind it, which carries the push."""
    sleeve = evidence.case.sleeve.blank
    z = sleeve.neck[0] if end == "left" else sleeve.neck[1]
    outside, zone = at_end(sleeve.outside, end), at_end(sleeve.bore, end)
    length = sleeve.chamfer_left if end == "left" else sleeve.chamfer_right
    diameter, depth = float(outside.diameter_at(z)), sleeve.chamfer_depth(end)
    if depth is None:
        depth = min(CHAMFER_SLOPE * length, 0.25 * (diameter - zone.diameter))
    return zone.diameter, diameter - 2.0 * depth


def _shell_face(evidence: Evidence, mouth: End) -> tuple[float, float]:
    """Inner and outer diameter of the face that rests on the support, mm: the far one."""
    shell, far = evidence.case.shell, opposite(mouth)
    z = 0.0 if far == "left" else shell.width
    return (
        float(at_end(shell.bore, far).diameter_at(z)),
        float(at_end(shell.outside, far).diameter_at(z)),
    )
