"""What tightened cups do to shell and sleeve: a pull in the sleeve's threads, held by the flanges, and
their wedge.

The flanks of a thread are inclined, so a cup that is pulled along its axis pushes the sleeve outwards as
well, with F tan α over the engaged length, α being half the thread angle. The load is spread evenly over
that length, and the force under a flange over the whole end face it bears on.
"""

from __future__ import annotations

from math import pi, radians, tan

import numpy as np

from hoopwright.case.model import Case
from hoopwright.fem.face_load import face_load
from hoopwright.fem.mesh import Mesh
from hoopwright.geometry.land import at_end

HALF_THREAD_ANGLE_DEG = 30.0
"""Of ISO metric and unified threads (ISO 68-1, ASME B1.1; from memory, not seen)."""


def cup_load(case: Case, mesh: Mesh) -> np.ndarray | None:
    """Nodal load of cups that pull the sleeve with 1 N, (size,), N per radian; None without cups in its
    threads.

    One cup by itself with its flange on the shell would pull the sleeve out: that is judged as a load on
    the seat, and here it only pushes outwards.
    """
    cups = case.cups
    sides = (
        ()
        if cups is None
        else tuple(side for side, _ in cups.sides if at_end(case.sleeve.bore, side).thread is not None)
    )
    if cups is None or not sides:
        return None
    balanced = len(sides) == 2 or not cups.flange_on_shell
    load = np.zeros(3 * mesh.nodes.shape[1])
    for side, cup in cups.sides:
        if side not in sides:
            continue
        zone = at_end(case.sleeve.bore, side)
        length = min(cup.engaged_length or zone.length, zone.length)
        start = zone.z_start if side == "left" else zone.z_end - length
        outwards = -1.0 if side == "left" else 1.0
        shear = 1.0 / (pi * zone.diameter * length)
        traction = np.array([shear * tan(radians(HALF_THREAD_ANGLE_DEG)), 0.0, outwards * shear * balanced])
        load += face_load(mesh, "sleeve.bore", traction, start=start, end=start + length)
        if balanced:
            flange = face_load(
                mesh, f"{'shell' if cups.flange_on_shell else 'sleeve'}.{side}", np.array([0.0, 0.0, 1.0])
            )
            load -= outwards * flange / flange.sum() / (2.0 * pi)
    return load
