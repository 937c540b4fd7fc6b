"""The thin side of a shell: its bore off centre by half the runout, its outside read out of round and as
small as its ± allows.

A bore off centre by half the runout raises the stress of the concentric model by the closed-form rise of
the hoop stress of a plane (2-D) tube, and where loads bend the wall by that of ring bending.

An outside with the ovality e and a round bore leaves t − e/4 of the wall on its short diameter. The pull of
the ring, p r, runs at an even distance from the bore, the middle of the wall with e/8 cos 2φ from that of a
round one; so a ring under even pressure bends besides:

    σ = (p r / t_l) (1 + 6 (e/8) / t_l)        t_l: wall left

A sleeve behind the wall bends less: an upper bound. Of an outside that is smaller, too, only the stress
under the same pressure is counted, and not that a thinner shell presses less.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import NamedTuple

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


class Thinnest(NamedTuple):
    """A stretch of the shell; oval: what its outside was read out of round by, plus_minus: uncertainty of
    its outside diameter, mm."""

    stretch: Segment
    oval: float
    plus_minus: float

    @property
    def centred_wall(self) -> float:
        """Least wall with the bore in the middle, mm."""
        return self.stretch.wall - 0.5 * self.plus_minus - 0.25 * self.oval


def thinnest_on_its_thin_side(evidence: Evidence) -> Thinnest:
    """The stretch of the shell with the least wall, form and ± of its outside counted."""
    return min((_outside_of(evidence, s) for s in evidence.study.joint.shell), key=lambda t: t.centred_wall)


def thin_side(evidence: Evidence, *, bent: bool) -> ThinSide:
    """What runout and an outside out of round make of the greatest stress of the shell. bent: under loads
    that bend the wall."""
    found, runout = thinnest_on_its_thin_side(evidence), evidence.case.runout_mm
    oval, wall = found.oval, found.stretch.wall
    uneven = bool(oval or found.plus_minus)
    if not runout and not uneven:
        return EVEN
    bore, eccentricity = found.stretch.inner_start, 0.5 * runout
    wall_left = found.centred_wall - eccentricity
    causes = " and ".join(["[shell] runout"] * bool(runout) + ["its outside"] * uneven)
    if wall_left <= 0.0:
        left = "leaves" if not (runout and uneven) else "leave"
        return ThinSide(inf, f"; {causes} {left} {Units().both(wall_left, 'mm')} on the thin side")
    known, outside = min(eccentricity, 0.5 * bore), bore + wall
    moved = float(thin_side_hoop(a=bore, b=outside - 0.5 * found.plus_minus, eccentricity=known))
    centred = float(thin_side_hoop(a=bore, b=outside, eccentricity=0.0))
    even = moved / centred * rise_of_oval(wall_left + 0.25 * oval, oval)
    rise = max(even, (wall / wall_left) ** 2 if bent else 1.0)
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


def _outside_of(evidence: Evidence, stretch: Segment) -> Thinnest:
    """Form and ± of the outside over a stretch."""
    outside = evidence.case.shell.outside
    land = land_at(outside, 0.5 * (stretch.z_start + stretch.z_end))
    if land is None:
        return Thinnest(stretch, 0.0, 0.0)
    return Thinnest(stretch, outside_ovality(evidence.case, outside.index(land)), land.plus_minus)
