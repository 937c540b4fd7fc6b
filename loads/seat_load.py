"""Tractions by which a cup or bearing transmits its load to the bore or shoulder it sits in."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, hypot, pi
from typing import Literal

from hoopwright.loads.fourier_series import half_cosine, two_sided_cosine, uniform
from hoopwright.loads.traction import MAX_HARMONIC, FourierTraction, traction

Mounting = Literal["clamped", "pressed"]


@dataclass(frozen=True)
class LoadBand:
    """The stretch of bore that carries a cup's thread or a bearing. Lengths in mm.

    mounting: "clamped" (a tightened cup keeps contact all round: two-sided cosine) or "pressed" (a
    bearing pressed straight in bears on one side only: half-cosine).
    """

    z_start: float
    z_end: float
    radius: float
    mounting: Mounting
    face: str = "sleeve.bore"

    def __post_init__(self) -> None:
        if not self.z_start < self.z_end or not self.radius > 0.0:
            raise ValueError(
                f"a band needs z_start < z_end and a positive radius, got {self.z_start}, "
                f"{self.z_end} and {self.radius} mm"
            )
        if self.mounting not in ("clamped", "pressed"):
            raise ValueError(f'mounting must be "clamped" or "pressed", got {self.mounting!r}')

    @property
    def centre(self) -> float:
        return 0.5 * (self.z_start + self.z_end)

    @property
    def length(self) -> float:
        return self.z_end - self.z_start


@dataclass(frozen=True)
class Shoulder:
    """An end face against which a flange or ring bears axially. Lengths in mm.

    face: "shell.left", "shell.right", "sleeve.left" or "sleeve.right".
    """

    face: str
    z: float
    inner_radius: float
    outer_radius: float

    def stops(self, axial: float) -> bool:
        """Whether an axial force (N, signed along z) presses onto this face."""
        return axial > 0.0 if self.face.endswith("left") else axial < 0.0


@dataclass(frozen=True)
class SeatLoad:
    """The load on one seat: what a cup or bearing does to the part it sits in.

    name: of the seat, e.g. "left cup". z: its middle, mm. tractions: () where it carries nothing.
    """

    name: str
    z: float
    tractions: tuple[FourierTraction, ...]


def seat_tractions(
    force: tuple[float, float, float],
    band: LoadBand,
    *,
    z: float,
    shoulder: Shoulder | None = None,
    harmonics: int = MAX_HARMONIC,
) -> tuple[FourierTraction, ...]:
    """Tractions statically equivalent to `force` (x, y, z), N, acting on the axis at z, mm.

    The radial part acts on the band; where the bearing plane is off the band's centre, the moment
    (z - centre) × force becomes radial traction that varies linearly along z. The axial part presses on
    the shoulder if that stops it, else it is shear on the band.
    """
    fx, fy, fz = force
    radial = hypot(fx, fy)
    found: list[FourierTraction] = []
    if radial > 0.0:
        towards = atan2(fy, fx)
        found.append(_push(band, radial, towards, harmonics))
        lever = z - band.centre
        if lever != 0.0:
            found += _tilt(band, radial * abs(lever), towards + (pi if lever < 0.0 else 0.0), harmonics)
    if fz != 0.0:
        found.append(_axial(band, fz, shoulder))
    return tuple(found)


def _push(band: LoadBand, force: float, towards: float, harmonics: int) -> FourierTraction:
    area = band.radius * band.length
    if band.mounting == "clamped":
        radial = two_sided_cosine(force / (pi * area), towards=towards)
    else:
        radial = half_cosine(2.0 * force / (pi * area), towards=towards, harmonics=harmonics)
    return traction(band.face, level=band.radius, start=band.z_start, end=band.z_end, radial=radial)


def _tilt(band: LoadBand, moment: float, towards: float, harmonics: int) -> list[FourierTraction]:
    """Radial tractions of the couple that pushes the band's right end `towards` and its left end away.

    Clamped: q cos φ (2ζ/L), q = 6 M/(π R L²). Pressed: each half presses on its own side only, 2q at the
    ends falling to zero at the centre.
    """
    q = 6.0 * moment / (pi * band.radius * band.length**2)
    if band.mounting == "clamped":
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


def _axial(band: LoadBand, axial: float, shoulder: Shoulder | None) -> FourierTraction:
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
