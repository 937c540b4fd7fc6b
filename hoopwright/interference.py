"""The interference a fit really has: sizes with their errors, smoothing, temperature of use.

    effective = sleeve outside − shell bore − smoothing loss     (diametral, at 20 °C)

A stated ± is taken as a rectangular distribution between hard limits; a size from readings brings its
own distribution (see uncertainty.py). Errors of bore and sleeve are taken as independent. All seats
are taken to shift together, by the errors of the worst one: their gauge, zero and temperature are the
same, so independent seats would flatter what depends on all of them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.joint import Joint, Seat
from hoopwright.case.model import Case
from hoopwright.measured.distribution import Errors, Part
from hoopwright.measured.uncertainty import MeasuredLand


@dataclass(frozen=True)
class SeatInterference:
    """One seat. likely: mean effective diametral interference at 20 °C, mm. thermal: what the
    temperature of use adds, mm. errors: of likely."""

    seat: Seat
    likely: float
    thermal: float
    errors: Errors

    def interval(self, confidence: float = 0.95) -> tuple[float, float]:
        """Least and greatest, mm, at 20 °C."""
        half = self.errors.half_width(confidence)
        return self.likely - half, self.likely + half


@dataclass(frozen=True)
class EffectiveInterference:
    """All seats of a fit. smoothing: loss of diametral interference, mm, already taken off."""

    seats: tuple[SeatInterference, ...]
    smoothing: float

    @property
    def errors(self) -> Errors:
        """Of the shift common to all seats: those of the least certain one."""
        return max((s.errors for s in self.seats), key=lambda e: e.half_width(), default=Errors())

    @property
    def limits(self) -> tuple[float, float] | None:
        """Least and greatest that stated tolerances allow anywhere, mm; None with readings."""
        halves = [s.errors.limit for s in self.seats]
        if any(h is None for h in halves):
            return None
        rows = [(s.likely, h) for s, h in zip(self.seats, halves, strict=True) if h is not None]
        return min(m - h for m, h in rows), max(m + h for m, h in rows)


def effective_interference(case: Case, joint: Joint) -> EffectiveInterference:
    loss = case.fit.smoothing_loss_mm
    apart = case.sleeve_material.expansion - case.shell_material.expansion
    seats = []
    for seat in joint.seats:
        diameter = case.shell.bore[seat.bore_land].mean_diameter
        likely = 0.5 * (seat.interference_start + seat.interference_end) - loss
        seats.append(
            SeatInterference(
                seat, likely, diameter * apart * case.fit.temperature_rise_K, seat_errors(case, seat)
            )
        )
    return EffectiveInterference(tuple(seats), loss)


def seat_errors(case: Case, seat: Seat) -> Errors:
    """Of the interference of one seat: bore and sleeve together."""
    return land_errors(case, "shell", "bore", seat.bore_land).plus(
        land_errors(case, "sleeve", "outside", seat.sleeve_land)
    )


def land_errors(case: Case, part: str, surface: str, index: int) -> Errors:
    """Of the diameter of one land: from its readings, or a rectangle over its stated ±."""
    found = measured(case, part, surface, index)
    if found is not None:
        return found.errors
    land = getattr(getattr(case, part), surface)[index]
    return Errors((Part(f"stated ± of the {part}'s {surface}", land.plus_minus),))


def measured(case: Case, part: str, surface: str, index: int) -> MeasuredLand | None:
    """The evaluated readings of a land, or None where its size is stated."""
    lands = case.shell_measured if part == "shell" else case.sleeve_measured
    return next((m for m in lands if m.surface == surface and m.index == index), None)


def outside_errors(case: Case) -> Errors:
    """Of the shell's outside diameter, the least certain land."""
    lands = [land_errors(case, "shell", "outside", k) for k in range(len(case.shell.outside))]
    return max(lands, key=lambda e: e.half_width(), default=Errors())


def mean_interference(seats: tuple[SeatInterference, ...]) -> float:
    """Effective, diametral, averaged along the seats, mm."""
    return float(np.average([s.likely for s in seats], weights=[s.seat.length for s in seats]))
