"""What keeps an assembled sleeve from moving on: a flange on a face, or a shoulder in the bore."""

from __future__ import annotations

from hoopwright.geometry.land import End, Land, at_end, opposite
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Sleeve

TOUCHES = 1e-6
"""Distance, mm, below which sleeve and shoulder touch."""


def is_stopped(shell: Shell, sleeve: Sleeve, towards: End) -> bool:
    """Whether the sleeve's flange on a face of the shell, or a shoulder in the bore, keeps it from moving
    on towards an end."""
    return sleeve.flange_end == opposite(towards) or shoulder_at(shell, sleeve, towards) is not None


def shoulder_at(shell: Shell, sleeve: Sleeve, end: End) -> Land | None:
    """The land of the bore that an end of the sleeve rests on: it touches there, and the land reaches
    inwards beyond half the sleeve's wall, so that a chamfer leaves enough of it; None where there is
    none."""
    z = sleeve.z_end if end == "right" else sleeve.z_start
    beyond = next(
        (
            land
            for land in shell.bore
            if abs((land.z_start if end == "right" else land.z_end) - z) < TOUCHES
        ),
        None,
    )
    if beyond is None:
        return None
    outer = float(at_end(sleeve.outside, end).diameter_at(z))
    reaches = float(beyond.diameter_at(z)) <= 0.5 * (outer + at_end(sleeve.bore, end).diameter)
    return beyond if reaches else None
