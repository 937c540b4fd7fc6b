"""What tightened cups do to shell and sleeve: a pull in the sleeve's threads, held by the flanges, and
their wedge.

The flanks of a thread are inclined, so a cup that is pulled along its axis pushes the sleeve outwards as
well, with F tan α over the engaged length, α being half the thread angle. The load is spread evenly over
that length, and the force under a flange over the whole end face it bears on.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi, radians, tan

import numpy as np

from hoopwright.case.holding_model import CupTightening
from hoopwright.case.model import Case
from hoopwright.fem import FrictionSolver
from hoopwright.fem.condensed_seat import SeatLoad
from hoopwright.fem.face_load import face_load
from hoopwright.fem.mesh import Mesh
from hoopwright.fem.strain import COMPONENTS, Z
from hoopwright.geometry import BoreZone
from hoopwright.geometry.land import End, at_end

HALF_THREAD_ANGLE_DEG = 30.0
"""Of ISO metric and unified threads (ISO 68-1, ASME B1.1; from memory, not seen)."""


def cup_load(case: Case, mesh: Mesh, *, wedge: bool = True) -> np.ndarray | None:
    """Nodal load of cups that pull the sleeve with 1 N, (size,), N per radian; None without cups in its
    threads. wedge: with the push of the flanks, else the pull along the axis alone.

    One cup by itself with its flange on the shell pulls the sleeve towards that flange, with a force that
    nothing but the seat holds.
    """
    cups, sides = case.cups, case.pulling_cups
    if cups is None or not sides:
        return None
    slope = tan(radians(HALF_THREAD_ANGLE_DEG)) if wedge else 0.0
    load = np.zeros(3 * mesh.nodes.shape[1])
    for side, cup in cups.sides:
        if side not in sides:
            continue
        zone = at_end(case.sleeve.bore, side)
        start, end = _engaged(zone, cup, side)
        length = end - start
        outwards = -1.0 if side == "left" else 1.0
        shear = 1.0 / (pi * zone.diameter * length)
        traction = np.array([shear * slope, 0.0, outwards * shear])
        load += face_load(mesh, "sleeve.bore", traction, start=start, end=start + length)
        load -= outwards * _even(mesh, f"{'shell' if cups.flange_on_shell else 'sleeve'}.{side}")
    return load


def _even(mesh: Mesh, face: str) -> np.ndarray:
    """Nodal load of 1 N along +z, even on a face, N per radian."""
    load = face_load(mesh, face, np.array([0.0, 0.0, 1.0]))
    return np.asarray(load / load.sum() / (2.0 * pi))


@dataclass
class CupLoads:
    """What the cups of a case do to the seat of one mesh."""

    case: Case
    friction: FrictionSolver

    def of(self, tension: float) -> SeatLoad:
        """The load of cups that pull the sleeve with a tension, N."""
        return tension * self._of_one_newton if tension else self.friction.no_load

    def held(self, tension: float, touching: np.ndarray) -> SeatLoad:
        """The same, in balance without friction: the pull of a single cup held by shear spread evenly over
        some of the pairs, (pairs,) bool.

        Friction that holds a cup takes its pull over no farther from it than that.
        """
        if not tension or not self.case.draws_sleeve:
            return self.of(tension)
        if not np.any(touching):
            return self.friction.no_load
        pairs = self.friction.interface
        share = np.where(touching, pairs.weight, 0.0)
        share *= tension / (2.0 * pi * share.sum())
        towards = -1.0 if self.case.pulling_cups == ("left",) else 1.0
        held = np.zeros(self.friction.model.size)
        held[COMPONENTS * pairs.sleeve + Z] -= towards * share
        held[COMPONENTS * pairs.shell + Z] += towards * share
        return self.of(tension) + self.friction.seat.load(held)

    @cached_property
    def along(self) -> np.ndarray:
        """Nodal load along the axis of cups that pull with 1 N, (size,), N per radian."""
        load = cup_load(self.case, self.friction.model.mesh, wedge=False)
        return np.zeros(self.friction.model.size) if load is None else load

    @cached_property
    def _of_one_newton(self) -> SeatLoad:
        load = cup_load(self.case, self.friction.model.mesh)
        return self.friction.no_load if load is None else self.friction.seat.load(load)


def engagement_ends(case: Case) -> tuple[float, ...]:
    """z, mm, where the engaged threads of the cups begin and end."""
    if case.cups is None:
        return ()
    zones = ((at_end(case.sleeve.bore, side), cup, side) for side, cup in case.cups.sides)
    return tuple(
        z for zone, cup, side in zones if zone.thread is not None for z in _engaged(zone, cup, side)
    )


def _engaged(zone: BoreZone, cup: CupTightening, side: End) -> tuple[float, float]:
    """z, mm, of the ends of the engaged thread of a cup: from the end of the sleeve inwards."""
    length = min(cup.engaged_length or zone.length, zone.length)
    return (zone.z_start, zone.z_start + length) if side == "left" else (zone.z_end - length, zone.z_end)


def levers(case: Case) -> float:
    """Length of both cups between flange and middle of the engaged thread, together, mm: what they expand
    over."""
    middles = engagement_ends(case)
    if not middles:
        return 0.0
    on_shell = case.cups is not None and case.cups.flange_on_shell
    left, right = (0.0, case.shell.width) if on_shell else (case.sleeve.z_start, case.sleeve.z_end)
    return 0.5 * (middles[0] + middles[1]) - left + right - 0.5 * (middles[-2] + middles[-1])
