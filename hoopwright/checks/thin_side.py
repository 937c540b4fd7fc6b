"""The thin side of a body: its bore off centre by half the runout, its diameters at the end of their ± that
leaves less wall, and the outside of a shell as it was read out of round.

A bore off centre by half the runout raises the stress of the concentric model by the closed-form rise of
the hoop stress of a plane (2-D) tube, and where loads bend the wall by that of ring bending. The rise is
that under pressure from inside; from outside, as on a sleeve, it is less, since (1 + h_e)/(1 + h_0) is less
than h_e/h_0.

An outside with the ovality e and a round bore leaves t − e/4 of the wall on its short diameter. The pull of
the ring, p r, runs at an even distance from the bore, the middle of the wall with e/8 cos 2φ from that of a
round one; so a ring under even pressure bends besides:

    σ = (p r / t_l) (1 + 6 (e/8) / t_l)        t_l: wall left

A sleeve behind the wall bends less: an upper bound. Of a wall that is thinner, too, only the stress under
the same pressure is counted, and not that a thinner one presses less.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from hoopwright.case.model import Case
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
RUNOUT_OF_SHELL = "[shell] runout"
RUNOUT_OF_SLEEVE, RUNOUT_OF_THREAD, BORE_OF_SLEEVE = (
    f"[drawing.sleeve] {key}" for key in ("bore_runout", "thread_runout", "bore_plus_minus")
)


@dataclass(frozen=True)
class ThinSide:
    """The thin side of a body. rise: factor on the stress, inf where no wall is left. basis: in words, ""
    where the wall is even; doubt: where the rise is not known, "" where it is."""

    rise: float
    basis: str
    doubt: str = ""


EVEN = ThinSide(1.0, "")


class UnevenWall(NamedTuple):
    """A stretch of a body, mm. runout: of bore to outside, full reading, as the key `by` gives it; oval:
    what its outside was read out of round by; of_outside, of_bore: ± of its diameters."""

    stretch: Segment
    runout: float
    by: str
    oval: float = 0.0
    of_outside: float = 0.0
    of_bore: float = 0.0

    @property
    def centred_wall(self) -> float:
        """Least wall with the bore in the middle, mm."""
        return self.stretch.wall - 0.5 * (self.of_outside + self.of_bore) - 0.25 * self.oval

    @property
    def wall_left(self) -> float:
        """Wall on the thin side, mm; none where it is not above zero."""
        return self.centred_wall - 0.5 * self.runout

    @property
    def known_eccentricity(self) -> float:
        """Eccentricity, mm, no more than the closed form is for."""
        return min(0.5 * self.runout, 0.5 * (self.stretch.inner_start + 0.5 * self.of_bore))

    def rise(self, *, bent: bool) -> float:
        """Factor on the stress of the wall as it is sized; inf where none is left."""
        if self.wall_left <= 0.0:
            return inf
        bore, wall, left = self.stretch.inner_start, self.stretch.wall, self.wall_left
        inner, outer = bore + 0.5 * self.of_bore, bore + wall - 0.5 * self.of_outside
        moved = float(thin_side_hoop(a=inner, b=outer, eccentricity=self.known_eccentricity))
        centred = float(thin_side_hoop(a=bore, b=bore + wall, eccentricity=0.0))
        even = moved / centred * rise_of_oval(left + 0.25 * self.oval, self.oval)
        return max(even, (wall / left) ** 2 if bent else 1.0)

    @property
    def causes(self) -> tuple[str, ...]:
        """What makes the wall uneven or thinner than its sizes."""
        outside = ("its outside",) * bool(self.oval or self.of_outside)
        return ((self.by,) * bool(self.runout)) + outside + (BORE_OF_SLEEVE,) * bool(self.of_bore)


def governing_wall(evidence: Evidence, body: str, *, bent: bool) -> UnevenWall:
    """The stretch of a body with the greatest rise of stress, which need not be the thinnest: a thinner one
    may run true. Of several the one with the least wall left."""
    joint, of = evidence.study.joint, _of_shell if body == "shell" else _of_sleeve
    stretches = joint.shell if body == "shell" else joint.sleeve
    walls = [of(evidence, one) for one in stretches]
    return max(walls, key=lambda one: (one.rise(bent=bent), -one.wall_left))


def runs_out(case: Case, body: str) -> bool:
    """Whether the bore of a body may be off centre, or that of a sleeve larger than its size."""
    allowed = case.drawing.sleeve
    of_sleeve = (allowed.bore_runout, allowed.thread_runout, allowed.bore_plus_minus)
    return bool(case.runout_mm) if body == "shell" else any(of_sleeve)


def thin_side(evidence: Evidence, body: str, *, bent: bool) -> ThinSide:
    """What an uneven wall makes of the greatest stress of a body. bent: under loads that bend the wall."""
    key = "thin side", body, bent, evidence.case.runout_mm, evidence.case.drawing.sleeve
    return evidence.study.cached(key, lambda: _thin_side(evidence, body, bent=bent))


def _thin_side(evidence: Evidence, body: str, *, bent: bool) -> ThinSide:
    found = governing_wall(evidence, body, bent=bent)
    if not found.causes:
        return EVEN
    causes, wall_left = " and ".join(found.causes), found.wall_left
    if wall_left <= 0.0:
        left = "leave" if len(found.causes) > 1 else "leaves"
        return ThinSide(inf, f"; {causes} {left} {Units().both(wall_left, 'mm')} on the thin side")
    rise, oval = found.rise(bent=bent), found.oval
    method = METHOD + (f"; {OVAL} {Units().both(1e3 * oval, 'um')}" if oval else "")
    return ThinSide(
        rise,
        f", times {rise:.4f} for a wall of {Units().both(wall_left, 'mm')} on the thin side ({causes}): "
        f"{method}",
        f"{found.by} puts the bore off centre by more than half its radius: no rise of stress is known"
        if found.known_eccentricity < 0.5 * found.runout
        else "",
    )


def rise_of_oval(wall: float, oval: float) -> float:
    """Rise of the stress of a ring whose outside is out of round, wall and ovality in mm."""
    left = wall - 0.25 * oval
    return wall / left * (1.0 + 0.75 * oval / left)


def _of_shell(evidence: Evidence, stretch: Segment) -> UnevenWall:
    """A stretch of the shell, with form and ± of its outside."""
    runout, outside = evidence.case.runout_mm, evidence.case.shell.outside
    land = land_at(outside, 0.5 * (stretch.z_start + stretch.z_end))
    if land is None:
        return UnevenWall(stretch, runout, RUNOUT_OF_SHELL)
    oval = outside_ovality(evidence.case, outside.index(land))
    return UnevenWall(stretch, runout, RUNOUT_OF_SHELL, oval, of_outside=land.plus_minus)


def _of_sleeve(evidence: Evidence, stretch: Segment) -> UnevenWall:
    """A stretch of the sleeve, with what its drawing allows the zone of its bore there."""
    allowed, middle = evidence.case.drawing.sleeve, 0.5 * (stretch.z_start + stretch.z_end)
    zone = next(one for one in evidence.case.sleeve.bore if one.z_start <= middle <= one.z_end)
    if zone.thread is not None:
        return UnevenWall(stretch, allowed.thread_runout or 0.0, RUNOUT_OF_THREAD)
    of_bore = allowed.bore_plus_minus or 0.0
    return UnevenWall(stretch, allowed.bore_runout or 0.0, RUNOUT_OF_SLEEVE, of_bore=of_bore)
