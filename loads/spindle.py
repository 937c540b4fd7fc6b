"""Statics of a spindle in two bearings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hoopwright.loads.seat_load import LoadBand, SeatLoad, Shoulder, seat_tractions
from hoopwright.loads.traction import MAX_HARMONIC

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class PointForce:
    """A force (x, y, z), N, on the spindle at a point (x, y, z), mm, with a label."""

    at: Vector
    force: Vector
    label: str


@dataclass(frozen=True)
class Cup:
    """One bearing and the band, and shoulder if any, that its cup sits in.

    bearing_z: plane in which the bearing supports the spindle, mm; inside or outside the shell.
    """

    bearing_z: float
    band: LoadBand
    shoulder: Shoulder | None = None


@dataclass(frozen=True)
class Cups:
    """Both bearings, and which of them takes the axial force.

    axial: "pushed" (the one the force pushes the spindle towards), "left" or "right".
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
    """Forces (x, y, z), N, of the spindle on the left and on the right bearing.

    They follow from the balance of forces and of moments about x and y; bearings carry no moment and no
    torque. Raises ValueError when the forces leave a torque about the axis, which nothing balances.
    """
    force, moment, twist = np.zeros(3), np.zeros(3), 0.0
    for item in forces:
        force += item.force
        arm = np.cross(item.at, item.force)
        moment += arm
        twist += abs(arm[2])
    if abs(moment[2]) > 1e-9 * twist:
        raise ValueError(f"a torque of {moment[2] / 1000.0:.4g} N·m about the axis is not balanced")
    left, right = cups.left.bearing_z, cups.right.bearing_z
    # about the left bearing plane: the right one takes (M_y, -M_x) over the span
    arm_x = moment[1] - left * force[0]
    arm_y = -moment[0] - left * force[1]
    on_right = np.array([arm_x, arm_y, 0.0]) / (right - left)
    on_left = np.array([force[0], force[1], 0.0]) - on_right
    to_right = cups.axial == "right" or (cups.axial == "pushed" and force[2] > 0.0)
    (on_right if to_right else on_left)[2] = force[2]
    return _vector(on_left), _vector(on_right)


def cup_loads(
    forces: Iterable[PointForce], cups: Cups, *, harmonics: int = MAX_HARMONIC
) -> tuple[SeatLoad, SeatLoad]:
    """Loads on the seats "left cup" and "right cup", equal to `forces` in resultant force and moment."""
    on_left, on_right = bearing_loads(forces, cups)
    return (
        _cup_load("left cup", cups.left, on_left, harmonics),
        _cup_load("right cup", cups.right, on_right, harmonics),
    )


def _cup_load(name: str, cup: Cup, force: Vector, harmonics: int) -> SeatLoad:
    tractions = seat_tractions(force, cup.band, z=cup.bearing_z, shoulder=cup.shoulder, harmonics=harmonics)
    return SeatLoad(name, cup.band.centre, tractions)


def _vector(values: np.ndarray) -> Vector:
    x, y, z = values.tolist()
    return x, y, z
