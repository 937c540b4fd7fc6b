"""A spindle in two bearings: reactions by statics."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from loads.seat import Band, Shoulder, hand_over
from loads.traction import HARMONICS, FourierTraction

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class PointForce:
    """A force (x, y, z), N, that acts on the spindle at a point (x, y, z), mm."""

    at: Vector
    force: Vector
    what: str


@dataclass(frozen=True)
class Cup:
    """One bearing and what it sits in.

    bearing_z: plane in which the bearing carries the spindle, mm; inside or outside the shell.
    """

    bearing_z: float
    band: Band
    shoulder: Shoulder | None = None


@dataclass(frozen=True)
class Cups:
    """Both bearings. The axial force goes to the one it pushes the spindle towards, or is fixed.

    axial: "pushed", "left" or "right".
    """

    left: Cup
    right: Cup
    axial: str = "pushed"

    def __post_init__(self) -> None:
        if not self.left.bearing_z < self.right.bearing_z:
            raise ValueError(
                f"the left bearing must lie left of the right one, got z = {self.left.bearing_z} "
                f"and {self.right.bearing_z} mm"
            )
        if self.axial not in ("pushed", "left", "right"):
            raise ValueError(f'axial must be "pushed", "left" or "right", got {self.axial!r}')


def bearing_loads(forces: Iterable[PointForce], cups: Cups) -> tuple[Vector, Vector]:
    """Force on the left and on the right bearing, (x, y, z), N, as the spindle presses on them.

    Statics: forces and moments about x and y balance; bearings carry no moment and no torque.
    Raises ValueError when the forces turn the spindle about its axis, which nothing would stop.
    """
    force, moment, twist = np.zeros(3), np.zeros(3), 0.0
    for item in forces:
        force += item.force
        arm = np.cross(item.at, item.force)
        moment += arm
        twist += abs(arm[2])
    if abs(moment[2]) > 1e-9 * twist:
        raise ValueError(f"a torque of {moment[2] / 1000.0:.4g} N·m about the axis is left over")
    left, right = cups.left.bearing_z, cups.right.bearing_z
    # about the left bearing plane: the right one takes (M_y, -M_x) over the span
    arm_x = moment[1] - left * force[0]
    arm_y = -moment[0] - left * force[1]
    on_right = np.array([arm_x, arm_y, 0.0]) / (right - left)
    on_left = np.array([force[0], force[1], 0.0]) - on_right
    to_right = cups.axial == "right" or (cups.axial == "pushed" and force[2] > 0.0)
    (on_right if to_right else on_left)[2] = force[2]
    return _vector(on_left), _vector(on_right)


def cup_tractions(
    forces: Iterable[PointForce], cups: Cups, *, harmonics: int = HARMONICS
) -> tuple[FourierTraction, ...]:
    """What both cups do to the bands they sit in; equal to `forces` in force and moment."""
    found: list[FourierTraction] = []
    loads = bearing_loads(forces, cups)
    for load, cup in zip(loads, (cups.left, cups.right), strict=True):
        found += hand_over(load, cup.band, z=cup.bearing_z, shoulder=cup.shoulder, harmonics=harmonics)
    return tuple(found)


def _vector(values: np.ndarray) -> Vector:
    x, y, z = values.tolist()
    return x, y, z
