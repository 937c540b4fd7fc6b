"""Radial and axial load of one bearing on its seat in a housing."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

from hoopwright.loads.seat_load import LoadBand, SeatLoad, Shoulder, seat_tractions
from hoopwright.loads.traction import MAX_HARMONIC


@dataclass(frozen=True)
class BearingLoad:
    """Force of a bearing's outer ring on its seat.

    radial: N, >= 0; angle: its direction, degrees from x towards y; axial: N, along +z; z: plane of the
    load, mm.
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
        angle = radians(self.angle)
        return self.radial * cos(angle), self.radial * sin(angle), self.axial


def bearing_seat_load(
    load: BearingLoad,
    seat: LoadBand,
    *,
    shoulder: Shoulder | None = None,
    harmonics: int = MAX_HARMONIC,
) -> SeatLoad:
    """Load on the "bearing seat", and on the shoulder where the axial load bears on it."""
    tractions = seat_tractions(load.force, seat, z=load.z, shoulder=shoulder, harmonics=harmonics)
    return SeatLoad("bearing seat", seat.centre, tractions)
