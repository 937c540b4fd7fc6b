"""A pusher that pilots in the sleeve's bore: what it leaves for the bore to close by.

It reaches in from the end of the sleeve that is pushed, and is taken to expand as the sleeve does. A bore
that closes on it holds it fast, on the way in or when the pusher is to come out. A bore with a ± is taken
at its least.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hoopwright.case.model import Case
from hoopwright.entry import entry_side
from hoopwright.fit import FitSolution
from hoopwright.geometry.sleeve import BoreZone
from hoopwright.geometry.thread_limits import limits_of

CLOSE = 1e-6
"""mm, within which a node of the mesh lies at the end of a zone."""


class Narrowest(NamedTuple):
    """Where a pilot has the least left around it: diametral closure of the bore and what the pilot leaves
    without it, least bore diameter there, r and z, mm."""

    closure: float
    gap: float
    bore: float
    r: float
    z: float

    @property
    def beyond(self) -> float:
        """Closure beyond the gap, mm; negative where the pilot is free."""
        return self.closure - self.gap


def least_clear_diameter(case: Case, zone: BoreZone) -> float:
    """What passes for certain through a zone of the bore as it is pressed, mm: through a plain one by the
    ± that [drawing.sleeve] gives it, through a thread by its least minor diameter."""
    if zone.thread is not None:
        return min(zone.clear_diameter, limits_of(zone.thread).internal_minor_min)
    return zone.diameter - (case.drawing.sleeve.bore_plus_minus or 0.0)


def narrowest(case: Case, solution: FitSolution) -> Narrowest:
    """Where the pilot of a case has the least left around it, in a fit of the sleeve as it is pressed, at
    any position on its way."""
    nodes = solution.mesh.face("sleeve.bore")
    r, z = solution.mesh.meshed_joint.model.mesh.nodes[:, nodes]
    from_left = entry_side(case) == "left"
    inside = z - z.min() if from_left else z.max() - z
    bore = np.full(len(z), np.inf)
    sleeve, pilot = case.sleeve.blank, case.press.pilot
    assert pilot is not None
    for zone in sleeve.bore:
        ends = (
            (zone.z_start - sleeve.z_start, zone.z_end - sleeve.z_start)
            if from_left
            else (sleeve.z_end - zone.z_end, sleeve.z_end - zone.z_start)
        )
        within = (inside >= ends[0] - CLOSE) & (inside <= min(ends[1], pilot.reach(sleeve)) + CLOSE)
        bore = np.where(within, np.minimum(bore, least_clear_diameter(case, zone)), bore)
    closure, gap = solution.bore_closure(z), bore - pilot.diameter_mm
    k = int(np.argmax(closure - gap))
    return Narrowest(float(closure[k]), float(gap[k]), float(bore[k]), float(r[k]), float(z[k]))
