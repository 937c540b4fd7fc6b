"""Press fits followed along friction paths step by step, to check the states of the tool against."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright import fem
from hoopwright.case.model import Case
from hoopwright.cup_load import cup_load, engagement_ends
from hoopwright.discretisation import corners, elastic, surface_share
from hoopwright.entry import entry_side
from hoopwright.fem import FrictionFit, FrictionSolver, MeshedJoint, Moment, Resolution, Way
from hoopwright.geometry.joint import joint
from hoopwright.geometry.travel import at_travel


@dataclass(frozen=True, eq=False)
class Reached:
    """Where a path has come to. friction: μ, 0 without friction; temperature_rise: K above 20 °C."""

    case: Case
    meshed_joint: MeshedJoint
    press: FrictionFit
    friction: float
    temperature_rise: float

    @cached_property
    def surfaces(self) -> dict[str, np.ndarray]:
        """Stress at bore and outside by body, (2, lines, 6), MPa: as it is judged."""
        recovery, pair = self.meshed_joint.recovery, self.meshed_joint.joint
        stress = recovery.stress(self.press.displacement, temperature_rise=self.temperature_rise)
        found = {}
        for body in ("sleeve", "shell"):
            wall = recovery.linearised(stress, body)
            threads = engagement_ends(self.case) if body == "sleeve" else ()
            near = corners(pair, getattr(pair, body)) | dict.fromkeys(threads, 1.0)
            share = surface_share(recovery.lines[body], near)[None, :, None]
            linear, surface = (
                np.stack(both)
                for both in ((wall.inner, wall.outer), (wall.surface_inner, wall.surface_outer))
            )
            found[body] = linear + share * (surface - linear)
        return found

    def von_mises(self, body: str) -> float:
        """Greatest on either surface of the wall, MPa."""
        return float(fem.von_mises(self.surfaces[body]).max())

    @property
    def normal_force(self) -> float:
        """∫ p dA, N."""
        return float(2.0 * np.pi * self.press.pressure @ self.meshed_joint.interface.weight)

    @property
    def torque_arm(self) -> float:
        """∫ p r dA, N·mm."""
        pairs = self.meshed_joint.interface
        return float(2.0 * np.pi * self.press.pressure @ (pairs.weight * pairs.r))


class Paths:
    """Friction paths of a case on one mesh, at an interference changed by `shift`, mm."""

    def __init__(self, case: Case, meshed_joint: MeshedJoint, shift: float) -> None:
        self.case, self.meshed_joint = case, meshed_joint
        self.solver = FrictionSolver(meshed_joint.model, meshed_joint.interface)
        smoothing = case.smoothing_loss_mm
        self.interference = meshed_joint.radial_interference(smoothing=smoothing) + fem.radial(shift)
        self.bench = case.press.temperature_rise_K

    def pushed(self) -> tuple[Reached, Reached]:
        """Sliding in, at low friction and at high friction as it is to restart the sleeve."""
        low, high = self.case.fit.friction_low, self.case.fit.friction_high
        return self._pushed(low), self._pushed(self.case.press.restart_ratio * high)

    def at_rest(self, *temperatures: float) -> Iterator[Reached]:
        """Every stop of going through temperatures, K above 20 °C, from the bench at rest on: without
        friction, and at low and at high friction."""
        for rise in dict.fromkeys((self.bench, *temperatures)):
            free = self.solver.without_friction(self.interference, temperature_rise=rise)
            yield self._reached(free, 0.0, rise)
        for friction in (self.case.fit.friction_low, self.case.fit.friction_high):
            moment = self._slides(friction)
            for rise in (self.bench, *temperatures):
                load = self.solver.warmed(rise)
                moment = self.solver.follow(moment, self.interference, load, friction=friction)
                yield self._reached(moment, friction, rise)

    def clamped(self, tensions: dict[float, float]) -> Iterator[Reached]:
        """Every stop of tightening the cups on the bench and going twice through the temperatures, K above
        20 °C, at each of which they pull with a tension, N: without friction, and with. The first time it
        goes from one temperature to the next, the second time to each from the bench."""
        mesh = self.meshed_joint.model.mesh
        cups = self.solver.seat.load(cup_load(self.case, mesh))
        loads = {rise: self.solver.warmed(rise) + force * cups for rise, force in tensions.items()}
        for rise, force in tensions.items():
            free = self.solver.without_friction(self.interference, temperature_rise=rise, load=force * cups)
            yield self._reached(free, 0.0, rise)
        others = [rise for rise in tensions if rise != self.bench]
        stops = (self.bench, *others, *(stop for rise in others for stop in (self.bench, rise)))
        for friction in (self.case.fit.friction_low, self.case.fit.friction_high):
            moment = self._slides(friction)
            let_go = self.solver.warmed(self.bench)
            for load, rise in ((let_go, None), *((loads[rise], rise) for rise in stops)):
                moment = self.solver.follow(moment, self.interference, load, friction=friction)
                if rise is not None:
                    yield self._reached(moment, friction, rise)

    def _pushed(self, friction: float) -> Reached:
        return self._reached(self._slides(friction), friction, self.bench)

    def _slides(self, friction: float) -> Moment:
        way = Way(1 if entry_side(self.case) == "left" else -1)
        return self.solver.slide(self.interference, friction=friction, way=way, temperature_rise=self.bench)

    def _reached(self, moment: Moment, friction: float, rise: float) -> Reached:
        return Reached(self.case, self.meshed_joint, self.solver.fit(moment), friction, rise)


def on_the_way(case: Case, resolution: Resolution, travel: float, shift: float) -> tuple[Reached, Reached]:
    """Sliding past a position, mm of travel, at low friction and at high friction as it is to restart."""
    pair = joint(case.shell, at_travel(case.shell, case.sleeve, entry_side(case), travel))
    materials = {"shell": elastic(case.shell_material), "sleeve": elastic(case.sleeve_material)}
    return Paths(case, fem.mesh_joint(pair, materials, resolution), shift).pushed()
