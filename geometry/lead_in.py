"""Whether the chamfer at the leading end of a sleeve leads it in, or is too shallow and shaves metal off.

Only a chamfer of stated angle has a depth that can be told.
"""

from __future__ import annotations

from typing import NamedTuple

from hoopwright.geometry.land import End, at_end, opposite
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Sleeve


class ShallowChamfer(NamedTuple):
    """A chamfer at the leading end whose small end is larger than the bore. depth: radial; least: what it
    would take, half the interference on its way; mm."""

    end: End
    depth: float
    least: float


def shallow_chamfer(shell: Shell, sleeve: Sleeve, enters_from: End, change: float) -> ShallowChamfer | None:
    """The chamfer of the leading end, where it is shallower than half the interference; else, or without a
    stated angle, None. change: of every diametral interference from that of the sizes, mm."""
    end = opposite(enters_from)
    depth = sleeve.chamfer_depth(end)
    if depth is None:
        return None
    front = sleeve.z_end if end == "right" else sleeve.z_start
    passed = [b for b in shell.bore if (b.z_start < front if end == "right" else b.z_end > front)]
    narrowest = min((bore.least_diameter for bore in passed), default=float("inf"))
    leading = float(at_end(sleeve.outside, end).diameter_at(front))
    least = 0.5 * (leading - narrowest + change)
    return ShallowChamfer(end, depth, least) if depth < least else None
