"""Sizes of a drawing: each diameter, thread and length with its limits and what these rest on.

Limits of a diameter that is cut to fit are those of `size`; where `size` has none, there is no number.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from hoopwright.came_out.answer import CameOut
from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.drawing.tolerance_class import ToleranceClass, inside
from hoopwright.geometry import BoreZone, Land
from hoopwright.geometry.thread import Thread
from hoopwright.sizing.finished import shell_is_bored, sleeve_is_turned
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.rounding import FINEST_IN, FINEST_MM, INCH, rounded_inward
from hoopwright.sizing.turn_to import Band
from hoopwright.sizing.verdict import size_state, size_verdict

Part = Literal["sleeve", "shell"]
Feature = Literal[
    "outside",
    "flange",
    "bore",
    "thread",
    "bore after pressing",
    "thread after pressing",
    "outside length",
    "flange thickness",
    "bore length",
    "length",
    "chamfer",
]
"""A bore or thread after pressing is what a blank is cut to then; its other sizes are those it is pressed
with."""
THREADS: tuple[Feature, ...] = ("thread", "thread after pressing")
BORES: tuple[Feature, ...] = ("bore", "bore after pressing")
Basis = Literal["size", "stated", "as read", "not stated"]
"""What limits rest on: those of `size`, the case, readings of a part that is finished, nothing."""
FINER = (1.0, 0.1, 0.01)
"""Steps in which limits are shown, as shares of what a micrometer shows: the first that leaves any."""


@dataclass(frozen=True)
class Size:
    """One dimension, mm at 20 °C.

    z_start, z_end: of the land, zone or part it is of. plotted: to which it is drawn to scale. low, high:
    limits, both None where it has none of its own. auxiliary: shown in brackets, not to be worked to.
    band: of `size`, for the shop temperature and the gauge. tapered: by how much the right end is larger;
    limits are those of the mean. within: class of ISO 286 that lies inside the limits. thread_class: ""
    where not stated. angle: of a chamfer, to the axis, degrees, None where not stated.
    """

    part: Part
    feature: Feature
    index: int
    z_start: float
    z_end: float
    plotted: float
    basis: Basis
    low: float | None = None
    high: float | None = None
    auxiliary: bool = False
    band: Band | None = None
    tapered: float = 0.0
    within: ToleranceClass | None = None
    thread: Thread | None = None
    thread_class: str = ""
    angle: float | None = None

    @property
    def name(self) -> str:
        return f"{self.part} {self.feature} {self.index}"

    @property
    def after_pressing(self) -> bool:
        """Whether it is cut once the sleeve is in."""
        return self.feature in ("bore after pressing", "thread after pressing")

    def shown_limits(self, units: str) -> tuple[float, float] | None:
        """Limits as they stand on the drawing, in mm or inches: inside the exact ones, never beyond."""
        if self.low is None or self.high is None:
            return None
        if self.band is not None:
            return self.band.readable(units)
        unit, finest = (INCH, FINEST_IN) if units == "inch" else (1.0, FINEST_MM)
        steps = (rounded_inward(self.low / unit, self.high / unit, finest * share) for share in FINER)
        return next((found for found in steps if found), None)

    def shop_limits(self, units: str) -> tuple[float, float] | None:
        """What the gauge shows for them at the shop temperature; None where they are not of `size`."""
        return None if self.band is None else self.band.shop_readable(units)


@dataclass(frozen=True)
class Content:
    """What a drawing is of. state, verdict: of `size`, or of finished parts. cut: the part that is still
    to be cut to fit, None where both are finished."""

    plan: SizePlan
    state: str
    verdict: str
    cut: Part | None
    sizes: tuple[Size, ...]

    @property
    def case(self) -> Case:
        return self.plan.case

    @property
    def to_be_made(self) -> bool:
        return self.state in ("holds", "holds as far as judged")

    def of(self, part: Part, *features: Feature) -> tuple[Size, ...]:
        """The sizes of some features of a part, from left to right."""
        found = [one for one in self.sizes if one.part == part and one.feature in features]
        return tuple(sorted(found, key=lambda one: (one.z_start, one.z_end)))


def content(plan: SizePlan, found: CameOut | None, units: Units) -> Content:
    """What to draw of a plan. found: the answer on finished parts, None where they are not both
    finished; units: of the verdict sentence."""
    state = size_state(plan) if found is None else found.state
    verdict = size_verdict(plan, units) if found is None else found.verdict
    turned, bored = sleeve_is_turned(plan.case, plan.study), shell_is_bored(plan.case, plan.study)
    cut: Part | None = None
    if plan.turn_to is not None:
        cut = "shell" if plan.turn_to.cut == "shell" else "sleeve"
    elif not (turned and bored):
        cut = "shell" if turned else "sleeve"
    finished = {"sleeve": turned and cut != "sleeve", "shell": bored and cut != "shell"}
    sizes = (
        *_fit_diameters(plan, cut, "sleeve", finished["sleeve"]),
        *_flange(plan.case),
        *_sleeve_bore(plan.case),
        *_sleeve_lengths(plan.case),
        *_fit_diameters(plan, cut, "shell", finished["shell"]),
        *_shell_as_it_is(plan.case),
    )
    return Content(plan, state, verdict, cut, sizes)


def _fit_diameters(plan: SizePlan, cut: Part | None, part: Part, finished: bool) -> Iterator[Size]:
    """Diameters of the surface that the other part sits on."""
    feature: Feature = "outside" if part == "sleeve" else "bore"
    lands = plan.case.sleeve.unfaced.outside if part == "sleeve" else plan.case.shell.bore
    measured = plan.case.sleeve_measured if part == "sleeve" else plan.case.shell_measured
    read = {one.index for one in measured if one.surface == feature}
    seats = plan.study.joint.seats
    seated = {seat.sleeve_land if part == "sleeve" else seat.bore_land for seat in seats}
    bands = {} if plan.turn_to is None or not plan.can_be_cut else {b.index: b for b in plan.turn_to.bands}
    for index, land in enumerate(lands):
        if part == cut and index in seated:
            yield _to_cut(part, feature, index, land, bands.get(index))
        else:
            basis: Basis = "as read" if index in read else "stated"
            yield _as_given(part, feature, index, land, basis, auxiliary=finished or index in read)


def _to_cut(part: Part, feature: Feature, index: int, land: Land, band: Band | None) -> Size:
    """A diameter to be cut to what `size` says; without limits where it says none."""
    place = part, feature, index + 1, land.z_start, land.z_end
    if band is None:
        return Size(*place, land.mean_diameter, "not stated", tapered=_taper(land))
    return Size(
        *place,
        0.5 * (band.low + band.high),
        "size",
        band.low,
        band.high,
        band=band,
        tapered=_taper(land),
        within=None
        if _taper(land)
        else inside(band.low, band.high, basic=float(round(land.mean_diameter)), hole=part == "shell"),
    )


def _as_given(
    part: Part, feature: Feature, index: int, land: Land, basis: Basis, *, auxiliary: bool
) -> Size:
    """A diameter as the case gives it, with its ± where it has one."""
    mean, own = land.mean_diameter, land.plus_minus
    low, high = (mean - own, mean + own) if own else (None, None)
    return Size(
        part,
        feature,
        index + 1,
        land.z_start,
        land.z_end,
        mean,
        basis,
        low,
        high,
        auxiliary=auxiliary,
        tapered=_taper(land),
    )


def _taper(land: Land) -> float:
    """By how much the right end is larger, mm; nothing below what is ever measured."""
    found = land.diameter_end - land.diameter_start
    return found if abs(found) > 1e-5 else 0.0


def _flange(case: Case) -> Iterator[Size]:
    """Diameter and thickness of the flange, which nothing is fitted to."""
    sleeve = case.sleeve
    if sleeve.rim is None:
        return
    place = 1, sleeve.rim.z_start, sleeve.rim.z_end
    yield Size("sleeve", "flange", *place, sleeve.flange_diameter, "stated")
    yield Size("sleeve", "flange thickness", *place, sleeve.flange_thickness, "stated")


def _sleeve_bore(case: Case) -> Iterator[Size]:
    """The bore as it is pressed in, and what is cut afterwards."""
    for index, zone in _pressed_zones(case):
        yield _zone_size(case, index, zone)
    for index, zone in enumerate(case.sleeve.bore, start=1):
        if zone.cut_true:
            yield _zone_size(case, index, zone, after_pressing=True)


def _pressed_zones(case: Case) -> list[tuple[int, BoreZone]]:
    """Zones of the bore as they are pressed in, each with the number of its first zone: neighbours that are
    one bore until they are cut are one."""
    found: list[tuple[int, BoreZone]] = []
    last: BoreZone | None = None
    for index, zone in enumerate(case.sleeve.unfaced.bore, start=1):
        if last is not None and zone.cut_true and last.cut_true and zone.blank == last.blank:
            first, before = found.pop()
            found.append((first, replace(before, z_end=zone.z_end)))
        else:
            found.append((index, zone.as_pressed))
        last = zone
    return found


def _zone_size(case: Case, index: int, zone: BoreZone, *, after_pressing: bool = False) -> Size:
    """A bore with its ± where the case states one for plain bores, or a thread."""
    place, own = (index, zone.z_start, zone.z_end), case.drawing.sleeve.bore_plus_minus
    if zone.thread is not None:
        feature: Feature = "thread after pressing" if after_pressing else "thread"
        thread_class = case.drawing.sleeve.thread_class
        major = zone.thread.major
        return Size(
            "sleeve", feature, *place, major, "stated", thread=zone.thread, thread_class=thread_class
        )
    limits = (zone.diameter - own, zone.diameter + own) if own else (None, None)
    plain: Feature = "bore after pressing" if after_pressing else "bore"
    return Size("sleeve", plain, *place, zone.diameter, "stated", *limits)


def _sleeve_lengths(case: Case) -> Iterator[Size]:
    """Lengths: overall, of lands and zones where there are several, and of the chamfers."""
    sleeve, own = case.sleeve.unfaced, case.drawing.sleeve.length_plus_minus
    ends = sleeve.z_start, sleeve.z_end
    limits = (sleeve.length - own, sleeve.length + own) if own else (None, None)
    yield Size("sleeve", "length", 1, *ends, sleeve.length, "stated", *limits)
    yield from _chain("sleeve", "outside length", sleeve.outside)
    yield from _chain("sleeve", "bore length", sleeve.bore)
    left, right = sleeve.chamfer_left, sleeve.chamfer_right
    chamfers = (
        (1, left, sleeve.chamfer_left_angle, (ends[0], ends[0] + left)),
        (2, right, sleeve.chamfer_right_angle, (ends[1] - right, ends[1])),
    )
    for index, length, angle, place in chamfers:
        if length:
            yield Size("sleeve", "chamfer", index, *place, length, "stated", angle=angle)


def _chain(part: Part, feature: Feature, stretches: Sequence[Land | BoreZone]) -> Iterator[Size]:
    """The lengths of several stretches; the longest follows from the rest and is an auxiliary one."""
    longest = max(stretches, key=lambda one: one.length)
    for index, one in enumerate(stretches if len(stretches) > 1 else (), start=1):
        follows = one is longest and part == "sleeve"
        yield Size(part, feature, index, one.z_start, one.z_end, one.length, "stated", auxiliary=follows)


def _shell_as_it_is(case: Case) -> Iterator[Size]:
    """Outside and width of the shell, which nobody cuts, and the lengths of the lands of its bore."""
    for index, land in enumerate(case.shell.outside):
        yield _as_given("shell", "outside", index, land, "stated", auxiliary=True)
    width = case.shell.width
    yield Size("shell", "length", 1, 0.0, width, width, "stated", auxiliary=True)
    yield from _chain("shell", "bore length", case.shell.bore)
