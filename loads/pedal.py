"""Pedal and chain forces on a crank spindle. x forward, y up, z towards the drive side."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Literal

from hoopwright.loads.spindle import PointForce


@dataclass(frozen=True)
class Pedal:
    """A force on one pedal. Lengths in mm, force in N, angles in degrees.

    side: "right" (drive side) or "left".
    offset: lateral distance of the force from the bicycle's centre-line, > 0.
    crank_angle: of this pedal's crank, measured downwards from straight forward.
    tilt: of the force from the bicycle's own vertical towards its centre-line, as when the bicycle leans
    away from the loaded pedal; negative for the other way. Tilt towards the centre-line gives the greater
    moment while the pedal is below the axis.
    """

    side: Literal["left", "right"]
    force: float
    offset: float
    crank_length: float
    crank_angle: float
    tilt: float = 0.0

    def __post_init__(self) -> None:
        if self.side not in ("left", "right"):
            raise ValueError(f'side must be "left" or "right", got {self.side!r}')
        for field in ("force", "offset", "crank_length"):
            if not 0.0 < getattr(self, field) < float("inf"):
                raise ValueError(f"{field} must be positive, got {getattr(self, field)}")


@dataclass(frozen=True)
class Chain:
    """The tension run of the chain, or what replaces it in a test. Lengths in mm.

    ring_radius: lever arm of the chain about the axis. z: plane of the chain.
    rise: angle by which the run rises towards the rear, degrees; 0 is level.
    """

    ring_radius: float
    z: float
    rise: float = 0.0

    def __post_init__(self) -> None:
        if not self.ring_radius > 0.0:
            raise ValueError(f"ring_radius must be positive, got {self.ring_radius} mm")


def pedal_force(pedal: Pedal, *, centre_line: float) -> PointForce:
    """The pedal force and its point of application; centre_line: z of the bicycle's centre-line, mm."""
    outward = 1.0 if pedal.side == "right" else -1.0
    angle, tilt = radians(pedal.crank_angle), radians(pedal.tilt)
    at = (
        pedal.crank_length * cos(angle),
        -pedal.crank_length * sin(angle),
        centre_line + outward * pedal.offset,
    )
    force = (0.0, -pedal.force * cos(tilt), -outward * pedal.force * sin(tilt))
    return PointForce(at, force, f"{pedal.side} pedal")


def chain_force(push: PointForce, chain: Chain) -> PointForce:
    """The chain tension that balances the pedal's torque, on the upper run, pulling rearwards.

    Tension × ring_radius = torque of the pedal force about the axis. Raises ValueError when that force
    would turn the crank backwards: a chain cannot push.
    """
    torque = push.at[1] * push.force[0] - push.at[0] * push.force[1]
    if torque < 0.0:
        raise ValueError("the pedal force turns the crank backwards, which a chain cannot stop")
    tension = torque / chain.ring_radius
    rise = radians(chain.rise)
    at = (chain.ring_radius * sin(rise), chain.ring_radius * cos(rise), chain.z)
    return PointForce(at, (-tension * cos(rise), tension * sin(rise), 0.0), "chain")


def pedalling_forces(pedal: Pedal, chain: Chain, *, centre_line: float) -> tuple[PointForce, PointForce]:
    """Pedal force and chain tension: all forces on the spindle other than its bearing reactions."""
    push = pedal_force(pedal, centre_line=centre_line)
    return push, chain_force(push, chain)
