"""Form of a joint: how far bore and sleeve are out of round, as stated and as read, in the harmonics of the
radial interference.

Ovality e: D(φ) = D + e/2 cos 2(φ − angle), so the radius of a bore has the amplitude e/4 and the
interference −e/4; that of a sleeve has the opposite sign. Three lobes with peak to valley v: amplitude v/2.

What is stated and what was read add up, by their angles where both are known; a sleeve goes in at any
angle, and adds its whole ovality.
"""

from __future__ import annotations

from cmath import exp
from math import radians

from hoopwright.case.model import Case
from hoopwright.measured.measured_land import MeasuredLand


def seat_form(case: Case, bore_land: int, sleeve_land: int) -> dict[int, complex]:
    """Amplitude of the radial interference of a seat by harmonic, mm: Re[a exp(−inθ)]; only those there
    are."""
    known, unknown = {2: 0j, 3: 0j}, 0.0
    stated = case.out_of_round
    if stated is not None:
        if stated.angle is None:
            unknown += 0.25 * stated.ovality
        else:
            known[2] += _amplitude(2, -0.25 * stated.ovality, stated.angle)
        known[3] += _amplitude(3, -0.5 * stated.three_lobe, stated.three_lobe_angle)
    for land in case.shell_measured:
        if land.surface == "bore" and land.index == bore_land:
            known[2] += _amplitude(2, -0.25 * read_ovality(land), land.ovality_angle or 0.0)
    for land in case.sleeve_measured:
        if land.surface == "outside" and land.index == sleeve_land:
            unknown += 0.25 * read_ovality(land)
    known[2] = _longer(known[2], unknown)
    return {n: amplitude for n, amplitude in known.items() if amplitude}


def is_out_of_round(case: Case) -> bool:
    """Whether any land that may meet another differs from angle to angle."""
    stated = case.out_of_round
    if stated is not None and (stated.ovality or stated.three_lobe):
        return True
    return any(read_ovality(land) for land in (*case.shell_measured, *case.sleeve_measured))


def read_ovality(land: MeasuredLand) -> float:
    """Ovality of the readings of a seat's land, mm; 0 where they cannot tell it from their own scatter.

    The accuracy of the gauge does not come into it: it is the same at every angle.
    """
    on_a_seat = (land.part, land.surface) in (("shell", "bore"), ("sleeve", "outside"))
    return _shown(land) if on_a_seat else 0.0


def outside_ovality(case: Case, outside_land: int) -> float:
    """Ovality that readings of a land of the shell's outside show, mm; likewise 0 within their scatter."""
    return sum(
        _shown(land)
        for land in case.shell_measured
        if land.surface == "outside" and land.index == outside_land
    )


def ovality(case: Case, bore_land: int, sleeve_land: int) -> float:
    """Ovality of a seat, bore and sleeve together, mm."""
    return 4.0 * abs(seat_form(case, bore_land, sleeve_land).get(2, 0j))


def bore_growth(case: Case, bore_land: int) -> float:
    """How far the bore reaches outwards of its mean radius at the worst angle, mm."""
    stated = case.out_of_round
    reach = 0.0 if stated is None else 0.25 * stated.ovality + 0.5 * stated.three_lobe
    return reach + sum(
        0.25 * read_ovality(land)
        for land in case.shell_measured
        if land.surface == "bore" and land.index == bore_land
    )


def _shown(land: MeasuredLand) -> float:
    """Ovality of the readings of a land, mm; 0 where they cannot tell it from their own scatter."""
    oval, known_to = land.ovality or 0.0, land.ovality_plus_minus
    return oval if oval > known_to else 0.0


def _amplitude(n: int, size: float, angle: float) -> complex:
    return size * exp(1j * n * radians(angle))


def _longer(amplitude: complex, by: float) -> complex:
    """The amplitude lengthened, towards less interference at 0° where it has no direction."""
    if not by:
        return amplitude
    return amplitude * (1.0 + by / abs(amplitude)) if amplitude else complex(-by)
