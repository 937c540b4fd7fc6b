"""Size to turn the sleeve or bore the shell to, so that the finished fit lies in the window.

The part still to be cut will be read with the user's gauge; the other part is as measured. Any reading
inside the band leaves the finished fit in the window at the stated confidence. The band is the window,
reduced on each side by the guard: the combined error of the part measured and of the reading to come.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf, sqrt

import numpy as np
from scipy.optimize import brentq

from hoopwright.case.model import Case
from hoopwright.geometry.joint import Seat
from hoopwright.geometry.land import Land
from hoopwright.geometry.readings import Gauge
from hoopwright.interference import caused_land_errors, caused_seat_errors, land_errors, measured
from hoopwright.measured.form_prior import reading_to_come
from hoopwright.measured.gauge_temperature import gauge_rise, temperature_components
from hoopwright.measured.land_errors import gauge_components
from hoopwright.measured.measured_land import indicated_diameter
from hoopwright.measured.repeatability import Repeatability, pooled, repeatability_of
from hoopwright.measured.together import caused, chance_together, widening_together
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent
from hoopwright.sizing.aim import is_off_centre, with_aims
from hoopwright.sizing.band import Band, BandEnd
from hoopwright.sizing.rounding import INCH, reading_step
from hoopwright.sizing.window import Window
from hoopwright.study import CaseStudy

SURFACE = {"sleeve": "outside", "shell": "bore"}
MATING_PART = {"sleeve": "shell", "shell": "sleeve"}


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
    scatter: float = 0.0

    @property
    def off_centre(self) -> bool:
        """Whether an aim lies off the middle of its band, towards the side that can be cut again."""
        return any(is_off_centre(b.high - b.low, self.scatter) for b in self.bands)

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
        groups.setdefault(_land_of(seat, cut), []).append(seat)
    holding = [s.seat for s in study.interference.fits]
    guards = guards_together(case, cut, groups, holding)
    found = [_band(case, window, cut, index, groups[index], guards[index]) for index in sorted(groups)]
    scatter = case.size.turning_scatter_mm
    bands = with_aims(found, cut, scatter)
    result = TurnTo(cut, bands, gauge, confidence, notes=_notes(case, cut), scatter=scatter)
    if result.makeable:
        return result
    own, other = _required_accuracy(case, window, cut, groups, holding)
    return replace(result, accuracy_needed=own, other_needed=other)


def decide(case: Case, study: CaseStudy, window: Window) -> Decision:
    """How likely the fit of both parts as measured lies in the window."""
    if window.empty:
        probability = 0.0
    else:
        assert window.low is not None
        assert window.high is not None
        errors = [caused_seat_errors(case, s.seat) for s in study.interference.fits]
        probability = chance_together(errors, window.low.shift, window.high.shift)
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


def guards_together(
    case: Case,
    cut: str,
    groups: Mapping[int, Sequence[Seat]],
    holding: Sequence[Seat],
    *,
    own: float = 1.0,
    other: float = 1.0,
) -> dict[int, float]:
    """What is held back from each end of the window for every land, mm, so that all seats lie in it at once
    with the confidence asked for.

    groups: the seats of each land of the part to be cut. holding: those that must lie in the window. own,
    other: factors on the errors of the reading to come, and on those of the other part.
    """
    confidence = case.size.confidence
    errors = {
        seat: caused(reading_errors(case, cut, index), cut, index)
        .scaled(own)
        .plus(caused_land_errors(case, MATING_PART[cut], _land_of(seat, MATING_PART[cut])).scaled(other))
        for index, seats in groups.items()
        for seat in seats
    }
    alone = {
        index: max(errors[seat].budget.half_width(confidence) for seat in seats)
        for index, seats in groups.items()
    }
    widths = [alone[_land_of(seat, cut)] for seat in holding]
    factor = widening_together([errors[seat] for seat in holding], widths, confidence)
    return {index: factor * half for index, half in alone.items()}


def _land_of(seat: Seat, part: str) -> int:
    return seat.sleeve_land if part == "sleeve" else seat.bore_land


def _band(case: Case, window: Window, cut: str, index: int, seats: list[Seat], guard: float) -> Band:
    assert window.low is not None
    assert window.high is not None
    part = case.sleeve.unfaced if cut == "sleeve" else case.shell  # a taper has its mean as it is turned
    land = getattr(part, SURFACE[cut])[index]
    shifts = window.low.shift + guard, window.high.shift - guard
    if cut == "shell":
        shifts = -shifts[1], -shifts[0]
    z_start, z_end = min(s.z_start for s in seats), max(s.z_end for s in seats)
    low, high = (land.mean_diameter + s for s in shifts)
    gauge = case.size.gauge
    return Band(
        index,
        z_start,
        z_end,
        low,
        high,
        _as_shown(case, cut, low),
        _as_shown(case, cut, high),
        guard,
        case.units,
        gauge.resolution if gauge else None,
        ends=() if land.diameter_start == land.diameter_end else _ends(case, cut, land, shifts),
    )


def _ends(case: Case, cut: str, land: Land, shifts: tuple[float, float]) -> tuple[BandEnd, ...]:
    """Band of each end of a tapered land: it may come out anywhere between the two shifts from its own
    size, as the middle of the land may from its."""
    ends = []
    for z, diameter in ((land.z_start, land.diameter_start), (land.z_end, land.diameter_end)):
        low, high = (diameter + s for s in shifts)
        ends.append(BandEnd(z, low, high, _as_shown(case, cut, low), _as_shown(case, cut, high)))
    return tuple(ends)


def _as_shown(case: Case, cut: str, diameter: float) -> float:
    """What the gauge shows for a diameter at 20 °C of the part to be cut, at the shop temperature, mm."""
    material = case.sleeve_material if cut == "sleeve" else case.shell_material
    gauge = case.size.gauge
    shop = case.size.shop_rise_K
    rise, expansion = (gauge_rise(gauge, shop), gauge.expansion) if gauge else (0.0, 0.0)
    return indicated_diameter(
        diameter, shop, material.expansion, gauge_rise=rise, gauge_expansion=expansion
    )


def _required_accuracy(
    case: Case,
    window: Window,
    cut: str,
    groups: Mapping[int, Sequence[Seat]],
    holding: Sequence[Seat],
) -> tuple[float | None, float | None]:
    """The ± (95 %), mm, needed for bands one step of the micrometer wide: of the future reading, or, where
    no reading would do, of the other part."""
    gauge = case.size.gauge
    step = reading_step(gauge.resolution if gauge else None, case.units) * (
        INCH if case.units == "inch" else 1.0
    )
    room = 0.5 * (window.width - step)
    if room <= 0.0:
        return None, 0.0

    def excess(own: float, other: float) -> float:
        return max(guards_together(case, cut, groups, holding, own=own, other=other).values()) - room

    if excess(0.0, 1.0) < 0.0:
        if excess(1.0, 1.0) <= 0.0:
            return inf, None
        share = float(brentq(lambda k: excess(k, 1.0), 0.0, 1.0, xtol=1e-4))
        return min(reading_errors(case, cut, index).half_width() for index in groups) * share, None
    share = float(brentq(lambda k: excess(0.0, k), 0.0, 1.0, xtol=1e-4))
    mate = MATING_PART[cut]
    facing = {_land_of(seat, mate) for seats in groups.values() for seat in seats}
    halves = [land_errors(case, mate, SURFACE[mate], index).half_width() for index in facing]
    return None, min(half for half in halves if half > 0.0) * share


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
