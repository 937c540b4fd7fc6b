"""The thin side of a shell: its bore off centre by half the runout, its outside read out of round.

A bore off centre by half the runout raises the stress of the concentric model by the closed-form rise of
the hoop stress of a plane (2-D) tube, and where loads bend the wall by that of ring bending.

An outside with the ovality e and a round bore leaves t − e/4 of the wall on its short diameter. The pull of
the ring, p r, runs at an even distance from the bore, the middle of the wall with e/8 cos 2φ from that of a
round one; so a ring under even pressure bends besides:

    σ = (p r / t_l) (1 + 6 (e/8) / t_l)        t_l: wall left

A sleeve behind the wall bends less: an upper bound.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from hoopwright.checks.evidence import Evidence
from hoopwright.closed_form.eccentric_tube import thin_side_hoop
from hoopwright.display import Units
from hoopwright.form import outside_ovality
from hoopwright.geometry.joint import Segment
from hoopwright.geometry.land import land_at

METHOD = (
    "Jeffery's rise of hoop stress, exact for a plane tube under even pressure, and under loads the "
    "greater of that and (wall/wall left)², the rise of ring bending: an upper bound where both act"
)
OVAL = "times the rise of membrane and bending of a ring whose outside was read out of round by"


@dataclass(frozen=True)
class ThinSide:
    """The thin side of a shell. rise: factor on the stress, inf where no wall is left. basis: in words, ""
    where the wall is even; doubt: where the rise is not known, "" where it is."""

    rise: float
    basis: str
    doubt: str = ""


EVEN = ThinSide(1.0, "")


def thinnest_on_its_thin_side(evidence: Evidence) -> tuple[Segment, float]:
    """The stretch of the shell with the least wall, what its outside was read out of round by counted, and
    that ovality, mm."""
    ovals = [(stretch, _ovality(evidence, stretch)) for stretch in evidence.study.joint.shell]
    return min(ovals, key=lambda one: one[0].wall - 0.25 * one[1])


def thin_side(evidence: Evidence, *, bent: bool) -> ThinSide:
    """What runout and an outside out of round make of the greatest stress of the shell. bent: under loads
    that bend the wall."""
    thinnest, oval = thinnest_on_its_thin_side(evidence)
    runout = evidence.case.runout_mm
    if not runout and not oval:
        return EVEN
    bore, eccentricity = thinnest.inner_start, 0.5 * runout
    beside = thinnest.wall - eccentricity
    wall_left = beside - 0.25 * oval
    causes = " and ".join(["[shell] runout"] * bool(runout) + ["its outside"] * bool(oval))
    if wall_left <= 0.0:
        left = "leaves" if not (runout and oval) else "leave"
        return ThinSide(inf, f"; {causes} {left} {Units().both(wall_left, 'mm')} on the thin side")
    known = min(eccentricity, 0.5 * bore)
    outside = bore + thinnest.wall
    moved, centred = (float(thin_side_hoop(a=bore, b=outside, eccentricity=e)) for e in (known, 0.0))
    even = moved / centred * rise_of_oval(beside, oval)
    rise = max(even, (thinnest.wall / wall_left) ** 2 if bent else 1.0)
    method = METHOD + (f"; {OVAL} {Units().both(1e3 * oval, 'um')}" if oval else "")
    return ThinSide(
        rise,
        f", times {rise:.4f} for a wall of {Units().both(wall_left, 'mm')} on the thin side ({causes}): "
        f"{method}",
        "[shell] runout puts the bore off centre by more than half its radius: no rise of stress is known"
        if known < eccentricity
        else "",
    )


def rise_of_oval(wall: float, oval: float) -> float:
    """Rise of the stress of a ring whose outside is out of round, wall and ovality in mm."""
    left = wall - 0.25 * oval
    return wall / left * (1.0 + 0.75 * oval / left)


def _ovality(evidence: Evidence, stretch: Segment) -> float:
    """Ovality of the outside over a stretch, mm."""
    outside = evidence.case.shell.outside
    land = land_at(outside, 0.5 * (stretch.z_start + stretch.z_end))
    return 0.0 if land is None else outside_ovality(evidence.case, outside.index(land))
