"""Effective interference of every seat, from the sizes with their errors and the smoothing loss.

    effective = sleeve outside − shell bore − smoothing loss     (diametral, at 20 °C)

A stated ± is treated as a rectangular distribution between hard limits; a size from readings brings its
own distribution (see measured/measured_land.py). Errors of bore and sleeve are treated as independent. All
seats are assumed to shift together, by the errors of the least certain one: they share gauge, zero and
temperature, so treating them as independent would be unconservative for whatever depends on all of them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.case.model import Case
from hoopwright.geometry.joint import Joint, Seat
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.measured.together import CausedError, caused
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent


@dataclass(frozen=True)
class SeatInterference:
    """Interference of one seat, diametral, mm.

    likely: mean effective interference at 20 °C. thermal: change of it at the [fit] temperature. errors:
    of `likely`.
    """

    seat: Seat
    likely: float
    thermal: float
    errors: UncertaintyBudget

    @property
    def may_touch(self) -> bool:
        """Whether there may be interference anywhere on the seat."""
        slope = 0.5 * abs(self.seat.interference_end - self.seat.interference_start)
        return self.likely + slope + self.errors.half_width() > 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """Least and greatest effective interference at 20 °C, mm, of 95 %."""
        half = self.errors.half_width()
        return self.likely - half, self.likely + half


@dataclass(frozen=True)
class EffectiveInterference:
    """Interference of all seats of a fit. smoothing: diametral loss, already deducted, mm."""

    seats: tuple[SeatInterference, ...]
    smoothing: float

    @property
    def fits(self) -> tuple[SeatInterference, ...]:
        """The seats that may hold, by their likely size and its error; all of them where none does. The
        others are reliefs that a size away from the bore keeps from touching."""
        return tuple(s for s in self.seats if s.may_touch) or self.seats

    @property
    def errors(self) -> UncertaintyBudget:
        """Errors of the shift common to all seats: those of the least certain one that may hold."""
        return max((s.errors for s in self.fits), key=lambda e: e.half_width(), default=UncertaintyBudget())

    @property
    def limits(self) -> tuple[float, float] | None:
        """Least and greatest interference that the stated tolerances allow at any seat, mm; None where a
        size comes from readings, which have no hard limits."""
        halves = [s.errors.limit for s in self.fits]
        if any(h is None for h in halves):
            return None
        rows = [(s.likely, h) for s, h in zip(self.fits, halves, strict=True) if h is not None]
        return min(m - h for m, h in rows), max(m + h for m, h in rows)


def effective_interference(case: Case, joint: Joint) -> EffectiveInterference:
    """The effective interference of every seat of the joint."""
    loss = case.smoothing_loss_mm
    rise = case.fit.temperature_rise_K
    strain_difference = case.sleeve_material.free_strain(rise) - case.shell_material.free_strain(rise)
    seats = []
    for seat in joint.seats:
        diameter = case.shell.bore[seat.bore_land].mean_diameter
        likely = 0.5 * (seat.interference_start + seat.interference_end) - loss
        seats.append(
            SeatInterference(
                seat,
                likely,
                diameter * strain_difference,
                seat_errors(case, seat),
            )
        )
    return EffectiveInterference(tuple(seats), loss)


def seat_errors(case: Case, seat: Seat) -> UncertaintyBudget:
    """Errors of the interference of one seat: bore and sleeve combined."""
    return land_errors(case, "shell", "bore", seat.bore_land).plus(
        land_errors(case, "sleeve", "outside", seat.sleeve_land)
    )


def caused_seat_errors(case: Case, seat: Seat) -> CausedError:
    """Errors of the interference of one seat, with the causes that it shares with others."""
    return caused_land_errors(case, "shell", seat.bore_land).plus(
        caused_land_errors(case, "sleeve", seat.sleeve_land)
    )


def caused_land_errors(case: Case, part: str, index: int) -> CausedError:
    """Errors of the diameter of a land of the seat, with the causes that it shares with others."""
    surface = "bore" if part == "shell" else "outside"
    return caused(land_errors(case, part, surface, index), part, index)


def land_errors(case: Case, part: str, surface: str, index: int) -> UncertaintyBudget:
    """Errors of the diameter of one land: from its readings, or rectangular over its stated ±."""
    found = measured(case, part, surface, index)
    if found is not None:
        return found.errors
    land = getattr(getattr(case, part), surface)[index]
    return UncertaintyBudget(
        (UncertaintyComponent(f"stated ± of the {part}'s {surface}", land.plus_minus),)
    )


def measured(case: Case, part: str, surface: str, index: int) -> MeasuredLand | None:
    """The evaluated readings of a land, or None where its size is only stated."""
    lands = case.shell_measured if part == "shell" else case.sleeve_measured
    return next((m for m in lands if m.surface == surface and m.index == index), None)


def outside_errors(case: Case) -> UncertaintyBudget:
    """Errors of the shell's outside diameter: those of its least certain land."""
    lands = [land_errors(case, "shell", "outside", k) for k in range(len(case.shell.outside))]
    return max(lands, key=lambda e: e.half_width(), default=UncertaintyBudget())


def mean_interference(seats: tuple[SeatInterference, ...]) -> float:
    """Effective diametral interference, averaged along the seats, mm."""
    return float(np.average([s.likely for s in seats], weights=[s.seat.length for s in seats]))
