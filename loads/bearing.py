"""One bearing in a housing: radial and axial load on its seat."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

from loads.seat import Band, Shoulder, hand_over
from loads.traction import HARMONICS, FourierTraction


@dataclass(frozen=True)
class BearingLoad:
    """What the bearing's outer ring presses on its seat with.

    radial: N, >= 0; angle: where it points, degrees from x towards y; axial: N, along +z.
    z: plane of the load, mm.
    """

    radial: float
    angle: float
    axial: float
    z: float

    def __post_init__(self) -> None:
        if not self.radial >= 0.0:
            raise ValueError(
                f"radial load must not be negative, got {self.radial} N; turn its angle instead"
            )

    @property
    def force(self) -> tuple[float, float, float]:
        turn = radians(self.angle)
        return self.radial * cos(turn), self.radial * sin(turn), self.axial


def bearing_tractions(
    load: BearingLoad,
    seat: Band,
    *,
    shoulder: Shoulder | None = None,
    harmonics: int = HARMONICS,
) -> tuple[FourierTraction, ...]:
    """Tractions on the seat, and on the shoulder where the axial load presses onto one."""
    return hand_over(load.force, seat, z=load.z, shoulder=shoulder, harmonics=harmonics)
