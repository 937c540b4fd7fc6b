"""How a cup or bearing hands its load to the band it sits in."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, hypot, pi
from typing import Literal

from loads.series import half_cosine, two_sided_cosine, uniform
from loads.traction import HARMONICS, FourierTraction, traction

Hold = Literal["clamped", "pressed"]


@dataclass(frozen=True)
class Band:
    """The stretch of bore a cup's thread or a bearing's seat takes hold of. Lengths in mm.

    hold: "clamped" (a tightened cup keeps contact all round: two-sided cosine) or "pressed"
    (a bearing pushed straight in presses on one side only: half-cosine).
    """

    z_start: float
    z_end: float
    radius: float
    hold: Hold
    face: str = "sleeve.bore"

    def __post_init__(self) -> None:
        if not self.z_start < self.z_end or not self.radius > 0.0:
            raise ValueError(
                f"a band needs z_start < z_end and a positive radius, got {self.z_start}, "
                f"{self.z_end} and {self.radius} mm"
            )
        if self.hold not in ("clamped", "pressed"):
            raise ValueError(f'hold must be "clamped" or "pressed", got {self.hold!r}')

    @property
    def centre(self) -> float:
        return 0.5 * (self.z_start + self.z_end)

    @property
    def length(self) -> float:
        return self.z_end - self.z_start


@dataclass(frozen=True)
class Shoulder:
    """An end face that stops axial movement of a flange or ring. Lengths in mm.

    face: "shell.left", "shell.right", "sleeve.left" or "sleeve.right".
    """

    face: str
    z: float
    inner_radius: float
    outer_radius: float

    def stops(self, axial: float) -> bool:
        """Whether a push along z (N, signed) presses onto this face."""
        return axial > 0.0 if self.face.endswith("left") else axial < 0.0


def hand_over(
    force: tuple[float, float, float],
    band: Band,
    *,
    z: float,
    shoulder: Shoulder | None = None,
    harmonics: int = HARMONICS,
) -> tuple[FourierTraction, ...]:
    """Tractions equal to `force` (x, y, z), N, acting on the axis at z, mm.

    The radial part acts on the band; with the bearing plane off the band's centre the moment
    (z - centre) × force becomes radial traction that changes linearly along z. The axial part
    presses on the shoulder if that stops it, else it is shear on the band.
    """
    fx, fy, fz = force
    across = hypot(fx, fy)
    found: list[FourierTraction] = []
    if across > 0.0:
        towards = atan2(fy, fx)
        found.append(_push(band, across, towards, harmonics))
        lever = z - band.centre
        if lever != 0.0:
            found += _tilt(band, across * abs(lever), towards + (pi if lever < 0.0 else 0.0), harmonics)
    if fz != 0.0:
        found.append(_along(band, fz, shoulder))
    return tuple(found)


def _push(band: Band, force: float, towards: float, harmonics: int) -> FourierTraction:
    area = band.radius * band.length
    if band.hold == "clamped":
        radial = two_sided_cosine(force / (pi * area), towards=towards)
    else:
        radial = half_cosine(2.0 * force / (pi * area), towards=towards, harmonics=harmonics)
    return traction(band.face, level=band.radius, start=band.z_start, end=band.z_end, radial=radial)


def _tilt(band: Band, moment: float, towards: float, harmonics: int) -> list[FourierTraction]:
    """The couple that pushes the right end of the band `towards` and the left end away from it.

    Clamped: q cos φ (2ζ/L), q = 6 M/(π R L²). Pressed: each half presses on its own side only,
    2q at the ends falling to nothing at the centre.
    """
    q = 6.0 * moment / (pi * band.radius * band.length**2)
    if band.hold == "clamped":
        radial = two_sided_cosine(q, towards=towards)
        pieces = [(band.z_start, band.z_end, radial, (-1.0, 1.0))]
    else:
        right = half_cosine(2.0 * q, towards=towards, harmonics=harmonics)
        left = half_cosine(2.0 * q, towards=towards + pi, harmonics=harmonics)
        pieces = [
            (band.z_start, band.centre, left, (1.0, 0.0)),
            (band.centre, band.z_end, right, (0.0, 1.0)),
        ]
    return [
        traction(band.face, level=band.radius, start=a, end=b, radial=radial, factors=factors)
        for a, b, radial, factors in pieces
    ]


def _along(band: Band, axial: float, shoulder: Shoulder | None) -> FourierTraction:
    if shoulder is not None and shoulder.stops(axial):
        area = pi * (shoulder.outer_radius**2 - shoulder.inner_radius**2)
        return traction(
            shoulder.face,
            level=shoulder.z,
            start=shoulder.inner_radius,
            end=shoulder.outer_radius,
            axial=uniform(axial / area),
        )
    return traction(
        band.face,
        level=band.radius,
        start=band.z_start,
        end=band.z_end,
        axial=uniform(axial / (2.0 * pi * band.radius * band.length)),
    )
