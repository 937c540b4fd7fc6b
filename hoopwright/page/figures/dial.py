"""A round gauge as at the press: what should show at the next mark of travel on its outer ring, its needle
at the last reading. Geometry in px; angles of the scale in degrees, clockwise from the right."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, ceil, cos, degrees, floor, log10, radians, sin

from markupsafe import Markup

from hoopwright.page.figures import svg
from hoopwright.page.figures.svg import Point, at
from hoopwright.page.press_line import Expected

SIZE = (340.0, 344.0)
CENTRE = (170.0, 166.0)
SWEEP = 270.0
START = 135.0
CASE, RING, TICKS, NUMBERS, NEEDLE = 158.0, (128.0, 148.0), 122.0, 92.0, 104.0
"""Radii: of the case, of the ring within and without, where ticks begin, of the numbers, of the needle's
tip."""
MAX_NUMBERS, MAX_TICKS = 10, 100
STEPS = (1.0, 2.0, 2.5, 5.0)


@dataclass(frozen=True)
class Shown:
    """What the needle shows. value: on the scale; number, where: as written, e.g. "64", "at 60 mm"."""

    value: float
    number: str
    where: str


@dataclass(frozen=True)
class Dial:
    """expected: at the next mark, mark with its unit. full: end of scale. shown: None before a reading.
    plate: what the plate says."""

    expected: Expected
    mark: str
    full: float
    shown: Shown | None
    plate: str

    @property
    def stop(self) -> float:
        """Where the stroke stands: on the division that the plate names."""
        at_mark = self.expected
        return at_mark.stop if at_mark.coarse else at_mark.scale.below(at_mark.stop)


def angle_of(value: float, full: float) -> float:
    """Angle of a value on the scale; what is past its end stands a little past it."""
    return START + SWEEP * min(max(value / full, 0.0), 1.03)


def value_at(point: Point, full: float) -> float:
    """The value that a point stands at, read back."""
    angle = degrees(atan2(point[1] - CENTRE[1], point[0] - CENTRE[0]))
    return ((angle - START) % 360.0) / SWEEP * full


def on_scale(value: float, full: float, radius: float) -> Point:
    angle = radians(angle_of(value, full))
    return CENTRE[0] + radius * cos(angle), CENTRE[1] + radius * sin(angle)


def dial_figure(dial: Dial) -> Markup:
    """The gauge."""
    full, ahead = dial.full, dial.expected
    return svg.picture(
        "dial",
        SIZE,
        f"Gauge at the next mark, {dial.mark}",
        _described(dial),
        svg.tag("defs", svg.hatching("dial-forbidden", "forbidden", 45.0, 6.0)),
        svg.circle(CENTRE, CASE, "case"),
        _sector(ahead.least, max(dial.stop, ahead.least), full, class_="expected"),
        _sector(dial.stop, full, full, class_="over", fill="url(#dial-forbidden)"),
        _stroke(ahead.likely, full, RING, "likely"),
        _stroke(dial.stop, full, (RING[0] - 12.0, RING[1] + 8.0), "stop"),
        *_ticks(full, ahead.scale.division),
        *_needle(dial),
        svg.tag("rect", x=58.0, y=296.0, width=224.0, height=40.0, class_="plate"),
        svg.words((CENTRE[0], 322.0), dial.plate, "plate-words", "middle"),
        class_="dial",
    )


def _sector(start: float, end: float, full: float, **attributes: object) -> Markup:
    """A part of the ring."""
    inner, outer = RING
    large = int(angle_of(end, full) - angle_of(start, full) > 180.0)
    a, b = on_scale(start, full, outer), on_scale(end, full, outer)
    c, d = on_scale(end, full, inner), on_scale(start, full, inner)
    path = (
        f"M{_xy(a)}A{at(outer)} {at(outer)} 0 {large} 1 {_xy(b)}"
        f"L{_xy(c)}A{at(inner)} {at(inner)} 0 {large} 0 {_xy(d)}Z"
    )
    return svg.tag("path", d=path, **attributes)


def _xy(point: Point) -> str:
    return f"{at(point[0])} {at(point[1])}"


def _stroke(value: float, full: float, radii: tuple[float, float], class_: str) -> Markup:
    inner, outer = (on_scale(value, full, radius) for radius in radii)
    return svg.line(inner, outer, class_)


def number_step(full: float) -> float:
    """From number to number: the least of 1, 2, 2.5 and 5 times a power of ten that goes into the scale."""
    power = 10.0 ** floor(log10(full / MAX_NUMBERS))
    steps = [power * k * first for k in (1.0, 10.0) for first in STEPS]
    goes_in = (
        s for s in steps if full / s <= MAX_NUMBERS + 1e-9 and abs(full / s - round(full / s)) < 1e-9
    )
    return next(goes_in, steps[-1])


def _ticks(full: float, division: float) -> list[Markup]:
    step = number_step(full)
    fine = division if full / division <= MAX_TICKS else step / 5.0
    parts = [
        svg.line(on_scale(k * fine, full, TICKS), on_scale(k * fine, full, TICKS - 7.0), "tick")
        for k in range(floor(full / fine + 1e-9) + 1)
    ]
    for k in range(ceil(full / step - 1e-9) + 1):
        value = k * step
        x, y = on_scale(value, full, NUMBERS)
        parts.append(
            svg.line(on_scale(value, full, TICKS), on_scale(value, full, TICKS - 13.0), "number-tick")
        )
        parts.append(svg.words((x, y + 5.0), f"{value:g}", "number", "middle"))
    return parts


def _needle(dial: Dial) -> list[Markup]:
    x, y = CENTRE
    shown = dial.shown
    if shown is None:
        return [
            svg.circle(CENTRE, 10.0, "hub"),
            svg.words((x, y + 60.0), "no reading yet", "where", "middle"),
        ]
    tip = on_scale(shown.value, dial.full, NEEDLE)
    angle = radians(angle_of(shown.value, dial.full))
    aside = [(x + sign * 5.5 * sin(angle), y - sign * 5.5 * cos(angle)) for sign in (1.0, -1.0)]
    tail = (x - 24.0 * cos(angle), y - 24.0 * sin(angle))
    return [
        svg.polygon((aside[0], tip, aside[1], tail), "needle"),
        svg.circle(CENTRE, 10.0, "hub"),
        svg.words((x, y + 66.0), shown.number, "read", "middle"),
        svg.words((x, y + 86.0), f"{dial.expected.scale.unit} {shown.where}", "where", "middle"),
    ]


def _described(dial: Dial) -> str:
    ahead, unit = dial.expected, dial.expected.scale.unit
    said = (
        f"At {dial.mark} it should show {ahead.least_text} to {ahead.stop_text} {unit}, likely "
        f"{ahead.likely_text}; {dial.plate}. Scale from 0 to {dial.full:g} {unit}."
    )
    if dial.shown is None:
        return said
    return f"{said} The needle shows the last reading: {dial.shown.number} {unit} {dial.shown.where}."
