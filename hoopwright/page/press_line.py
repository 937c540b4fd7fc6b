"""What the press should show at a travel, from the plan of pressing, in what is read at it: the unit of its
gauge, or force where no ram is known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

import numpy as np

from hoopwright.case.quantity import converted
from hoopwright.closed_form.friction import ram_force
from hoopwright.display import Units
from hoopwright.display.gauge import NOISE, Gauge
from hoopwright.page.model import Document
from hoopwright.pressing.press_log import TRAVEL_TOLERANCE

FORCE_SCALES = {"metric": ("kN", 0.01), "inch": ("lbf", 5.0)}
"""Unit and division of a force gauge, of which no case says more. Common practice, no source."""


@dataclass(frozen=True)
class Scale:
    """What is read at the press. unit: bar, psi, MPa, kN or lbf. division: the smallest, in that unit.
    newtons: force of one of them. known: whether the case gives the division. of_force: no ram is
    known."""

    unit: str
    division: float
    newtons: float
    known: bool = True
    of_force: bool = False

    def value(self, force: float) -> float:
        """What shows at a force in N."""
        return force / self.newtons

    def below(self, value: float) -> float:
        """The last division not above a value."""
        return math.floor(value / self.division + NOISE) * self.division

    def nearest(self, value: float) -> float:
        return math.floor(value / self.division + 0.5) * self.division

    def text(self, value: float) -> str:
        """A value, with the decimals of the division."""
        decimals = max(0, -int(Decimal(f"{self.division:g}").normalize().as_tuple().exponent))
        return f"{value:.{decimals}f}"

    @property
    def step(self) -> str:
        """The division with its unit, e.g. "2 bar"."""
        return f"{self.division:g} {self.unit}"


@dataclass(frozen=True)
class Expected:
    """What should show at a travel, mm, on the scale of the press, not rounded."""

    travel: float
    least: float
    likely: float
    stop: float
    scale: Scale

    @property
    def coarse(self) -> bool:
        """Whether the division below the stop line lies below what is likely: a sound fit may read more."""
        return self.scale.below(self.stop) + NOISE * self.scale.division < self.likely

    @property
    def limit(self) -> float:
        """The greatest reading that is not above the stop line: the division below it, as the press table
        has it. Where the divisions are too coarse for that, what half a division may hide is left to a
        reading."""
        return self.stop + 0.5 * self.scale.division if self.coarse else self.scale.below(self.stop)

    def is_above(self, value: float) -> bool:
        return value > self.limit + NOISE * self.scale.division

    def is_surely_above(self, value: float) -> bool:
        """Whether a reading lies above the line itself, be it between two divisions."""
        return value > max(self.limit, self.stop) + NOISE * self.scale.division

    def may_hide(self, value: float) -> bool:
        """Whether a reading of divisions too coarse may be of a force above the line."""
        return self.coarse and value + 0.5 * self.scale.division > self.stop

    def is_below(self, value: float) -> bool:
        """Whether a reading lies below the least by more than half a division."""
        return value + 0.5 * self.scale.division < self.least

    @property
    def least_text(self) -> str:
        return self.scale.text(self.scale.nearest(self.least))

    @property
    def likely_text(self) -> str:
        return self.scale.text(self.scale.nearest(self.likely))

    @property
    def stop_text(self) -> str:
        """The stop line as it is read at the press, rounded down."""
        return self.scale.text(self.scale.below(self.stop))


@dataclass(frozen=True)
class PressLine:
    """The plan of pressing. travel: rising, mm; least, likely, stop: forces there, N; straight between,
    and at the marks of a rule as solved there. marks: of the rule of the reader, where something bears,
    mm. solved: travels of the curve that is drawn."""

    travel: tuple[float, ...]
    least: tuple[float, ...]
    likely: tuple[float, ...]
    stop: tuple[float, ...]
    marks: tuple[float, ...]
    home: float
    scale: Scale

    def at(self, travel: float) -> Expected:
        """What should show at a travel, mm."""
        least, likely, stop = (
            self.scale.value(float(np.interp(travel, self.travel, force)))
            for force in (self.least, self.likely, self.stop)
        )
        return Expected(travel, least, likely, stop, self.scale)

    def next_mark(self, last: float | None) -> float:
        """The mark of the rule after a travel; home once it is there."""
        beyond = (mark for mark in self.marks if last is None or mark > last + 1e-6 * self.home)
        return next(beyond, self.home)

    def is_home(self, travel: float) -> bool:
        return travel >= (1.0 - TRAVEL_TOLERANCE) * self.home

    @cached_property
    def greatest_stop(self) -> float:
        """On the scale of the press."""
        return self.scale.value(max(self.stop, default=0.0))


def press_line(plan: Document, units: Units) -> PressLine | None:
    """The line of a press document; None where the sleeve slips in or nothing bears."""
    curve = plan["force_against_travel"]
    if curve is None:
        return None
    rows = curve["table"][units.system]
    if not rows:
        return None
    at = {row["travel_mm"]: row for row in curve["positions"]}
    for system in ("inch", "metric"):
        at |= {row["travel_mm"]: row for row in curve["table"][system]}
    travels = sorted(at)

    def along(key: str) -> tuple[float, ...]:
        return tuple(float(at[travel][key]) for travel in travels)

    return PressLine(
        tuple(travels),
        along("least_N"),
        along("likely_N"),
        along("stop_N"),
        tuple(row["travel_mm"] for row in rows),
        float(curve["positions"][-1]["travel_mm"]),
        _scale(curve, units),
    )


def _scale(curve: Document, units: Units) -> Scale:
    """The gauge of the press, whose ram follows from what it reads at a force; else a force gauge."""
    if curve["gauge_unit"] is None:
        unit, division = FORCE_SCALES[units.system]
        return Scale(unit, division, converted(1.0, unit, "N"), known=False, of_force=True)
    gauge = Gauge.of(curve["gauge_unit"], curve["gauge_division_MPa"])
    loaded = max(curve["positions"], key=lambda row: float(row["stop_N"]))
    per_MPa = loaded["stop_N"] / loaded["gauge_stop_MPa"]
    return Scale(gauge.unit, gauge.division, per_MPa * converted(1.0, gauge.unit, "MPa"), gauge.known)


def newtons_of(quantity: str, value: float, ram_diameter: float | None) -> float | None:
    """The force of a reading of a log, in MPa or N; None where a gauge is read and no ram is known."""
    if quantity == "force":
        return value
    return None if ram_diameter is None else float(ram_force(gauge=value, ram_diameter=ram_diameter))


def ranges(unit: str) -> Sequence[float]:
    """Ends of scale that a gauge may have, rising."""
    return [first * 10.0**power for power in range(-2, 6) for first in SERIES.get(unit, RENARD)]


RENARD = (1.0, 1.6, 2.5, 4.0, 6.0)
"""Scale ranges of EN 837-1, in bar or MPa; taken for a force gauge too."""
SERIES = {"psi": (1.0, 1.5, 2.0, 3.0, 6.0)}
"""Of gauges in psi, from memory."""
HEADROOM = 1.1
"""Times the greatest stop line that the scale reaches at least, so that the stroke is well on it."""


def full_scale(line: PressLine) -> float:
    """The end of scale of the gauge that is pictured, on the scale of the press: no case says it, so it is
    the first usual one above the greatest stop line."""
    return next(end for end in ranges(line.scale.unit) if end >= HEADROOM * line.greatest_stop)
