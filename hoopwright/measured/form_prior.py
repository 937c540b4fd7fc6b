"""Form that readings cannot show: what it may add to the mean of a land, by how the land was cut.

The mean diameter is a weighted mean of the readings, mean = Σ w d. A form s(z, φ) whose own mean over the
land is s0 makes it wrong by Σ w s − s0, which is nothing where the readings resolve that form, and as large
as the form where they do not. With φ in radians and ζ from −1 to 1 along the land,

    ovality e      0.5 e cos 2(φ − φ0)    wrong by at most 0.5 e |Σ w exp 2iφ|, at a φ0 that nobody knows
    taper t        0.5 t ζ                wrong by 0.5 t |Σ w ζ|
    bell-mouth b   b |ζ|ᵖ                 wrong by b |Σ w |ζ|ᵖ − 1/(p + 1)|

A form that was not read may be as large as is usual of the process, in either sense.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from hoopwright.geometry.readings import LandReadings
from hoopwright.measured.uncertainty_budget import UncertaintyComponent


@dataclass(frozen=True)
class UsualForm:
    """Greatest errors of form that are usual of a process, mm on diameter. ovality: greatest less least;
    taper: from end to end; bell_mouth: ends less middle, positive or negative."""

    ovality: float
    taper: float
    bell_mouth: float


USUAL_FORM = {
    "bored": UsualForm(ovality=0.010, taper=0.010, bell_mouth=0.020),
    "reamed": UsualForm(ovality=0.008, taper=0.005, bell_mouth=0.015),
    "turned": UsualForm(ovality=0.005, taper=0.010, bell_mouth=0.005),
    "ground": UsualForm(ovality=0.003, taper=0.003, bell_mouth=0.003),
}
"""Usual errors of form by process, on a manual lathe or mill in good order. Common practice, no source."""
DEFAULT_PROCESS = {"shell": "bored", "sleeve": "turned"}
"""Process of a part where the case gives none: of the shell's bore and of the sleeve's outside."""
OUTSIDE_OF_SHELL = "turned"
OVALITY_COUNTED = 0.97
"""Share of the usual ovality that counts. Our choice: with it lands that all have the greatest are covered
in 93 % and more, and the ± is at most 1.3 times that of lands with any ovality up to it."""
EXPONENTS = (2.0, 4.0, 6.0)
"""Exponents p of a bell-mouth: along the whole land, to close at its ends. Common practice, no source."""
CONTRAST = 0.15
"""Least standard deviation of ζ² over the stations, what a taper takes out, to tell a bell-mouth from a
taper: three stations at −0.56, 0 and 0.56 have it. Our choice: closer ones multiply the scatter."""
NEGLIGIBLE = 1e-6
"""Components below this, mm, are left out: round-off of a form that the readings resolve."""


@dataclass(frozen=True)
class Places:
    """Where a land was read: ζ along it, clock angle in radians, nan where not noted, and whether the
    gauge sees ovality at all: three contacts a third of a turn apart do not."""

    along: np.ndarray
    angle: np.ndarray
    sees_ovality: np.ndarray

    @classmethod
    def at(
        cls, readings: LandReadings, z: np.ndarray, angle: np.ndarray, sees_ovality: np.ndarray
    ) -> Places:
        """Places at z, mm, of a land with such readings."""
        middle, half = _middle_and_half(readings)
        return cls((z - middle) / half, angle, sees_ovality)

    @classmethod
    def of(cls, readings: LandReadings) -> Places:
        """In the order of the case."""
        z, angle, sees = [], [], []
        for s in readings.stations:
            count = len(s.values)
            z.append(np.full(count, s.z))
            angle.append(np.radians(s.angles) if s.angles else np.full(count, np.nan))
            sees.append(np.full(count, s.gauge.contacts == 2))
        return cls.at(readings, np.concatenate(z), np.concatenate(angle), np.concatenate(sees))

    @classmethod
    def evenly(cls, count: int, *, sees_ovality: bool) -> Places:
        """One reading at each of `count` places spread evenly along the land and round it."""
        k = np.arange(count)
        return cls((2.0 * k + 1.0) / count - 1.0, pi * k / count, np.full(count, sees_ovality))


def bell_column(along: np.ndarray) -> np.ndarray:
    """Column of a fit whose coefficient is the ends less the middle, and which the mean is free of."""
    return along**2 - 1.0 / 3.0


def tells_bell_mouth(along: np.ndarray) -> bool:
    """Whether stations at ζ lie so that they tell a bell-mouth from a mean and a taper."""
    at = np.unique(np.round(along, 9))
    if len(at) < 3:
        return False
    plain = np.column_stack([np.ones(len(at)), at])
    left = at**2 - plain @ np.linalg.lstsq(plain, at**2, rcond=None)[0]
    return float(np.sqrt(np.mean(left**2))) >= CONTRAST


def unread_form(
    places: Places, weight: np.ndarray, process: str, *, bell: tuple[np.ndarray, float] | None = None
) -> list[UncertaintyComponent]:
    """Components of the mean for what its readings cannot show. weight: of each reading in the mean. bell:
    weight of each reading in a fitted bell-mouth, and the bell-mouth found, mm."""
    usual = USUAL_FORM[process]
    found = [
        UncertaintyComponent(
            f"unread ovality ({process})",
            0.5 * OVALITY_COUNTED * usual.ovality * _of_ovality(places, weight),
            "arcsine",
        ),
        UncertaintyComponent(
            f"unread taper ({process})", 0.5 * usual.taper * abs(float(weight @ places.along))
        ),
    ]
    wrong = [float(weight @ np.abs(places.along) ** p) - 1.0 / (p + 1.0) for p in EXPONENTS]
    most = usual.bell_mouth * max(map(abs, wrong))
    if bell is None:
        found.append(UncertaintyComponent(f"unread bell-mouth ({process})", most))
    else:  # its size was read, and only its course between the stations was not
        of_bell, height = bell
        shown = [float(of_bell @ np.abs(places.along) ** p) for p in EXPONENTS]
        share = max(abs(w / s) for w, s in zip(wrong, shown, strict=True))
        found.append(UncertaintyComponent("course of the bell-mouth", min(abs(height) * share, most)))
    return [part for part in found if part.scale > NEGLIGIBLE]


def reading_to_come(count: int, contacts: int, process: str) -> list[UncertaintyComponent]:
    """Form that the mean of `count` readings spread evenly along and round a land will not show."""
    places = Places.evenly(count, sees_ovality=contacts == 2)
    return unread_form(places, np.full(count, 1.0 / count), process)


def directions(readings: LandReadings) -> int:
    """Directions in which a land was read across two points; readings without an angle count as one."""
    places = Places.of(readings)
    angle = places.angle[places.sees_ovality]
    known = np.unique(np.round(np.mod(angle[~np.isnan(angle)], pi), 6) % round(pi, 6))
    return max(len(known), 1)


def too_few(readings: LandReadings) -> str:
    """Of what there is only one, direction or station, in words; "" where there are two of each."""
    only = []
    if Places.of(readings).sees_ovality.all() and directions(readings) < 2:
        noted = all(s.angles for s in readings.stations)
        only.append("in one direction" if noted or readings.count == 1 else "in no noted direction")
    if len({s.z for s in readings.stations}) < 2:
        only.append("at one station")
    return " and ".join(only)


def _of_ovality(places: Places, weight: np.ndarray) -> float:
    """|Σ w exp 2iφ|; readings of unknown direction are taken to lie all in that of the worst."""
    seen = np.where(places.sees_ovality, weight, 0.0)
    known = ~np.isnan(places.angle)
    turning = abs(complex(np.sum(seen[known] * np.exp(2j * places.angle[known]))))
    return turning + abs(float(np.sum(seen[~known])))


def _middle_and_half(readings: LandReadings) -> tuple[float, float]:
    return 0.5 * (readings.z_start + readings.z_end), 0.5 * (readings.z_end - readings.z_start)
