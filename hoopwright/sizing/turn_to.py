"""Size to turn the sleeve or bore the shell to, so that the finished fit lies in the window.

The part still to be cut will be read with the user's gauge; the other part is as measured. Any reading
inside the band leaves the finished fit in the window at the stated confidence. The band is the window,
reduced on each side by the guard: the combined error of the part measured and of the reading to come.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, sqrt

import numpy as np
from scipy.optimize import brentq

from hoopwright.case.model import Case
from hoopwright.geometry.joint import Seat
from hoopwright.geometry.readings import Gauge
from hoopwright.interference import land_errors, measured, seat_errors
from hoopwright.measured.form_prior import reading_to_come
from hoopwright.measured.gauge_temperature import gauge_rise, temperature_components
from hoopwright.measured.land_errors import gauge_components
from hoopwright.measured.measured_land import indicated_diameter
from hoopwright.measured.repeatability import Repeatability, pooled, repeatability_of
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent
from hoopwright.sizing.rounding import INCH, readable_band, reading_step
from hoopwright.sizing.window import Window
from hoopwright.study import CaseStudy

SURFACE = {"sleeve": "outside", "shell": "bore"}
MATING_PART = {"sleeve": "shell", "shell": "sleeve"}


@dataclass(frozen=True)
class Band:
    """Band of diameters for one land of the part to be cut.

    low, high: limits at 20 °C, mm; any reading between them leaves the fit in the window; low is above high
    where there is no such reading. shop_low, shop_high: what the gauge shows for those limits at the shop
    temperature, mm. guard: deducted from each side of the window, mm. units: of the micrometer, "metric" or
    "inch"; resolution: its step, mm, or None.
    """

    index: int
    z_start: float
    z_end: float
    low: float
    high: float
    shop_low: float
    shop_high: float
    guard: float

    units: str = "metric"
    resolution: float | None = None

    @property
    def makeable(self) -> bool:
        """Whether a size that the gauge can show lies in the band."""
        return self.readable(self.units) is not None

    def readable(self, units: str) -> tuple[float, float] | None:
        """Limits at 20 °C, rounded inwards to what a micrometer shows, in mm or inches."""
        return readable_band(self.low, self.high, units, self.resolution)

    def shop_readable(self, units: str) -> tuple[float, float] | None:
        """Limits as the gauge shows them at the shop temperature, rounded inwards, in mm or inches."""
        return readable_band(self.shop_low, self.shop_high, units, self.resolution)


@dataclass(frozen=True)
class TurnTo:
    """Bands for the part to be cut.

    cut: that part, "sleeve" or "shell". bands: one per land. gauge: None where the stated ± of the part
    stands for it. accuracy_needed: where not makeable, the ± needed of the reading, mm; None where even a
    perfect reading would not do, and then other_needed is the ± needed of the other part, mm.
    """

    cut: str
    bands: tuple[Band, ...]
    gauge: Gauge | None
    confidence: float
    accuracy_needed: float | None = None
    other_needed: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def makeable(self) -> bool:
        return bool(self.bands) and all(b.makeable for b in self.bands)


@dataclass(frozen=True)
class Decision:
    """The fit of two finished parts, held against the window.

    likely_enough: whether the chance is at least the confidence asked for. probability: that every seat
    lies in the window. least, likely, greatest: effective interference, mm,
    with the 95 % limits of the least certain seat. change: diameter to take off the sleeve (positive) or to
    add (negative) to reach the middle of the window, mm.
    """

    likely_enough: bool
    probability: float
    least: float
    likely: float
    greatest: float
    change: float


def turn_to(case: Case, study: CaseStudy, window: Window, *, cut: str = "sleeve") -> TurnTo:
    """Bands for every land of the part to be cut that carries a seat. The window must not be empty."""
    gauge, confidence = case.size.gauge, case.size.confidence
    groups: dict[int, list[Seat]] = {}
    for seat in study.joint.seats:
        groups.setdefault(seat.sleeve_land if cut == "sleeve" else seat.bore_land, []).append(seat)
    bands = tuple(_band(case, window, cut, index, seats) for index, seats in sorted(groups.items()))
    result = TurnTo(cut, bands, gauge, confidence, notes=_notes(case, cut))
    if result.makeable:
        return result
    needed = [_required_accuracy(case, window, cut, index, seats) for index, seats in groups.items()]
    own = None if any(o is None for o, _ in needed) else min(o for o, _ in needed if o is not None)
    other = None if own is not None else min(t for _, t in needed if t is not None)
    return replace(result, accuracy_needed=own, other_needed=other)


def decide(case: Case, study: CaseStudy, window: Window) -> Decision:
    """How likely the fit of both parts as measured lies in the window."""
    if window.empty:
        probability = 0.0
    else:
        assert window.low is not None
        assert window.high is not None
        probability = min(
            seat_errors(case, s.seat).probability(window.low.shift, window.high.shift)
            for s in study.interference.seats
        )
    half_width, likely = study.interference_half_width, study.nominal_interference
    change = 0.0 if window.empty else likely - 0.5 * (window.least + window.greatest)
    return Decision(
        probability >= case.size.confidence,
        probability,
        likely - half_width,
        likely,
        likely + half_width,
        change,
    )


def reading_errors(case: Case, cut: str, index: int) -> UncertaintyBudget:
    """Errors of a future reading of one land of the part to be cut, the mean of as many as [size] says,
    taken evenly along it and round it."""
    gauge, size = case.size.gauge, case.size
    land = getattr(getattr(case, cut), SURFACE[cut])[index]
    if gauge is None:
        return UncertaintyBudget((UncertaintyComponent("stated ± of the part to be cut", land.plus_minus),))
    material = case.sleeve_material if cut == "sleeve" else case.shell_material
    components = [
        *gauge_components(gauge),
        *temperature_components(
            land.mean_diameter, size.shop_rise_K, size.shop_plus_minus_K, material.expansion, gauge
        ),
        *reading_to_come(size.readings, gauge.contacts, getattr(case, f"{cut}_process")),
    ]
    found = _repeatability(case, gauge, cut)
    components.append(found.component(1.0 / sqrt(size.readings)))
    if found.std * sqrt(12.0) < gauge.resolution:
        components.append(UncertaintyComponent("resolution", 0.5 * gauge.resolution))
    return UncertaintyBudget(tuple(components))


def _repeatability(case: Case, gauge: Gauge, cut: str) -> Repeatability:
    """Repeatability of a future reading: stated, or as all that the case has read with the gauge shows, or
    assumed."""
    read = (s for m in (*case.shell_measured, *case.sleeve_measured) for s in m.scatters)
    return repeatability_of(pooled(read, gauge), SURFACE[cut])


def _band(case: Case, window: Window, cut: str, index: int, seats: list[Seat]) -> Band:
    assert window.low is not None
    assert window.high is not None
    errors = _combined_errors(case, cut, index, seats, 1.0, 1.0)
    guard = errors.half_width(case.size.confidence)
    land = getattr(getattr(case, cut), SURFACE[cut])[index]
    shifts = window.low.shift + guard, window.high.shift - guard
    if cut == "sleeve":
        low, high = (land.mean_diameter + s for s in shifts)
    else:
        high, low = (land.mean_diameter - s for s in shifts)
    material = case.sleeve_material if cut == "sleeve" else case.shell_material
    gauge = case.size.gauge
    shop = case.size.shop_rise_K
    rise, expansion = (gauge_rise(gauge, shop), gauge.expansion) if gauge else (0.0, 0.0)
    shop_low, shop_high = (
        indicated_diameter(d, shop, material.expansion, gauge_rise=rise, gauge_expansion=expansion)
        for d in (low, high)
    )
    return Band(
        index,
        min(s.z_start for s in seats),
        max(s.z_end for s in seats),
        low,
        high,
        shop_low,
        shop_high,
        guard,
        case.units,
        gauge.resolution if gauge else None,
    )


def _combined_errors(
    case: Case, cut: str, index: int, seats: list[Seat], own: float, other: float
) -> UncertaintyBudget:
    """Combined errors of the future reading and of the least certain mating land, scaled by own and
    other."""
    facing = [
        land_errors(
            case,
            MATING_PART[cut],
            SURFACE[MATING_PART[cut]],
            s.bore_land if cut == "sleeve" else s.sleeve_land,
        )
        for s in seats
    ]
    worst = max(facing, key=lambda e: e.half_width())
    return _scaled(reading_errors(case, cut, index), own).plus(_scaled(worst, other))


def _scaled(errors: UncertaintyBudget, factor: float) -> UncertaintyBudget:
    return UncertaintyBudget(tuple(replace(p, scale=p.scale * factor) for p in errors.components))


def _required_accuracy(
    case: Case, window: Window, cut: str, index: int, seats: list[Seat]
) -> tuple[float | None, float | None]:
    """The ± (95 %), mm, needed for a band one step of the micrometer wide: of the future reading, or, where
    no reading would do, of the other part."""
    gauge = case.size.gauge
    step = reading_step(gauge.resolution if gauge else None, case.units) * (
        INCH if case.units == "inch" else 1.0
    )
    room = 0.5 * (window.width - step)
    if room <= 0.0:
        return None, 0.0

    def excess(own: float, other: float) -> float:
        return _combined_errors(case, cut, index, seats, own, other).half_width(case.size.confidence) - room

    if excess(0.0, 1.0) < 0.0:
        if excess(1.0, 1.0) <= 0.0:
            return inf, None
        share = float(brentq(lambda k: excess(k, 1.0), 0.0, 1.0, xtol=1e-4))
        return reading_errors(case, cut, index).half_width() * share, None
    share = float(brentq(lambda k: excess(0.0, k), 0.0, 1.0, xtol=1e-4))
    return None, _combined_errors(case, cut, index, seats, 0.0, 1.0).half_width() * share


def _notes(case: Case, cut: str) -> tuple[str, ...]:
    notes = []
    lands = getattr(getattr(case, cut), SURFACE[cut])
    if case.size.gauge is None and not any(np.array([b.plus_minus for b in lands]) > 0.0):
        notes.append(
            "no gauge and no ± is given for the part to be cut: the band takes its reading as "
            "perfect. Give [size] gauge"
        )
    elif case.size.gauge is None:
        notes.append(
            "the reading to come is taken to be as good as the stated ± of that part; give "
            "[size] gauge to have your own gauge counted"
        )
    elif case.size.readings == 1:
        process = getattr(case, f"{cut}_process")
        notes.append(
            f"the reading to come is a single one, and of a {process} part it may not be the mean: take "
            "several, evenly along it and round it, and give [size] readings"
        )
    else:
        count = case.size.readings
        notes.append(
            f"the reading to come is the mean of {count}, taken evenly along the land and round it"
        )
    if case.size.gauge is not None and (note := _repeatability(case, case.size.gauge, cut).note):
        notes.append(f"of the reading to come: {note}")
    other = MATING_PART[cut]
    for index, land in enumerate(getattr(getattr(case, other), SURFACE[other])):
        if measured(case, other, SURFACE[other], index) is None and land.plus_minus == 0.0:
            notes.append(
                f"land {index + 1} of the {other}'s {SURFACE[other]} has no ± and no readings: "
                "it is taken as exact"
            )
    return tuple(notes)
