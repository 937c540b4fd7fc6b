"""Force against travel of a pressing: what is expected, the stop line, what was read, and the next mark."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10

from markupsafe import Markup

from hoopwright.case.quantity import converted
from hoopwright.display import Units
from hoopwright.page.figures import svg
from hoopwright.page.figures.svg import Point
from hoopwright.page.press_line import PressLine
from hoopwright.page.views.words import typeset

NICE = (1.0, 2.0, 5.0, 10.0)
HEADROOM = 1.12
PER_GLYPH = 7.2
"""Breadth of a glyph of a name, px."""


@dataclass(frozen=True)
class Layout:
    """Where the plot stands, px. along, up: how many numbers its axes have room for."""

    width: float
    height: float
    left: float
    right: float
    top: float
    foot: float
    along: int
    up: int


WIDE = Layout(640.0, 444.0, 52.0, 588.0, 34.0, 392.0, 7, 6)
NARROW = Layout(366.0, 330.0, 52.0, 322.0, 34.0, 278.0, 5, 5)


@dataclass(frozen=True)
class Dot:
    """A reading. travel: mm; force: N; above: the stop line."""

    travel: float
    force: float
    above: bool


@dataclass(frozen=True)
class Curve:
    """ahead: the next mark, mm, None where none is left. meets: travels at which another land meets the
    bore."""

    line: PressLine
    dots: Sequence[Dot]
    ahead: float | None
    meets: Sequence[float] = ()


@dataclass(frozen=True)
class Scales:
    """home: whole travel, mm. top: force at the top of the plot, N."""

    layout: Layout
    home: float
    top: float

    def at(self, travel: float, force: float) -> Point:
        lay = self.layout
        x = lay.left + (lay.right - lay.left) * travel / self.home
        return x, lay.foot - (lay.foot - lay.top) * force / self.top

    def travel_at(self, point: Point) -> float:
        return (point[0] - self.layout.left) / (self.layout.right - self.layout.left) * self.home


def scales_of(line: PressLine, layout: Layout) -> Scales:
    return Scales(layout, line.home, HEADROOM * max(line.stop))


def press_curve(curve: Curve, units: Units) -> Markup:
    """The figure at both widths."""
    return svg.joined(_figure(curve, units, layout) for layout in (WIDE, NARROW))


def _figure(curve: Curve, units: Units, layout: Layout) -> Markup:
    wide = layout is WIDE
    prefix = "curve-wide" if wide else "curve-narrow"
    line, scales = curve.line, scales_of(curve.line, layout)
    least, likely, stop = (
        [scales.at(t, f) for t, f in zip(line.travel, forces, strict=True)]
        for forces in (line.least, line.likely, line.stop)
    )
    corners = [scales.at(line.home, scales.top), scales.at(line.travel[0], scales.top)]
    return svg.picture(
        prefix,
        (layout.width, layout.height),
        "Force against travel",
        _described(curve, units),
        svg.tag("defs", svg.hatching(f"{prefix}-over", "forbidden", 45.0, 9.0)),
        svg.polygon([*least, *reversed(stop)], "expected"),
        svg.polygon([*stop, *corners], "over", fill=f"url(#{prefix}-over)"),
        *_axes(curve, scales, units),
        *_meets(curve, scales),
        svg.path(least, "least"),
        svg.path(likely, "likely"),
        svg.path(stop, "stop"),
        *_ahead(curve, scales),
        *(_dot(dot, scales) for dot in curve.dots),
        *_names(curve, scales),
        class_=f"press-curve {'press-wide' if wide else 'press-narrow'}",
    )


def step_of(span: float, count: int) -> float:
    """From number to number on an axis: 1, 2 or 5 times a power of ten, at most so many of them."""
    power = 10.0 ** floor(log10(span / count))
    return next(power * first for first in NICE if span / (power * first) <= count)


def _axes(curve: Curve, scales: Scales, units: Units) -> list[Markup]:
    lay, scale = scales.layout, curve.line.scale
    left = ("lbf", converted(1.0, "lbf", "N")) if units.system == "inch" else ("kN", 1000.0)
    parts = [
        *_upright(scales, *left, lay.left, "end", grid=True),
        *(
            []
            if scale.of_force
            else _upright(scales, scale.unit, scale.newtons, lay.right, "start", grid=False)
        ),
        svg.line((lay.left, lay.top), (lay.left, lay.foot), "axis-line"),
        svg.line((lay.right, lay.top), (lay.right, lay.foot), "axis-line"),
        svg.line((lay.left, lay.foot), (lay.right, lay.foot), "axis-line"),
    ]
    unit = converted(1.0, "inch", "mm") if units.system == "inch" else 1.0
    home = scales.home / unit
    step = step_of(home, lay.along)
    numbers = [k * step for k in range(floor(home / step) + 1) if home - k * step > 0.4 * step]
    for value in (*numbers, home):
        x, y = scales.at(value * unit, 0.0)
        text = f"{value:.4g}" if value in numbers else f"{value:.2f}".rstrip("0").rstrip(".")
        parts.append(svg.line((x, y), (x, y + 6.0), "axis-line"))
        parts.append(svg.words((x, y + 20.0), text, "note", "middle"))
    middle = 0.5 * (lay.left + lay.right)
    words = f"travel since it met the shell, {units.label('mm')}"
    parts.append(svg.words((middle, lay.foot + 40.0), words, "note", "middle"))
    return parts


def _upright(
    scales: Scales, unit: str, newtons: float, x: float, anchor: str, *, grid: bool
) -> list[Markup]:
    """The numbers of one axis of force, with its unit above."""
    lay, top = scales.layout, scales.top / newtons
    step = step_of(top, lay.up)
    outwards = -8.0 if anchor == "end" else 8.0
    parts = [svg.words((x + outwards, lay.top - 14.0), unit, "note", anchor)]
    for k in range(floor(top / step) + 1):
        _, y = scales.at(0.0, k * step * newtons)
        if grid and k:
            parts.append(svg.line((lay.left, y), (lay.right, y), "grid"))
        parts.append(svg.line((x, y), (x + 0.5 * outwards, y), "axis-line"))
        parts.append(svg.words((x + outwards, y + 4.5), f"{k * step:g}", "note", anchor))
    return parts


def _names(curve: Curve, scales: Scales) -> list[Markup]:
    """Each curve says on itself what it is."""
    line, lay = curve.line, scales.layout
    right = lay.right - 6.0
    parts = []
    for share, name, dy, class_ in (
        (0.72, "stop", -14.0, "stop-name halo"),
        (0.97, "likely", 18.0, "name halo"),
        (0.97, "least", 16.0, "name halo"),
    ):
        x, y = scales.at(share * line.home, _force_at(line, share * line.home, name))
        text = name
        if name == "least":
            text = "below the least: suspect the fit" if lay is WIDE else name
            begins = scales.travel_at((x - PER_GLYPH * len(text), y))
            y = scales.at(begins, _force_at(line, max(begins, 0.0), name))[1]
        parts.append(svg.words((min(x, right), min(y + dy, lay.foot - 6.0)), text, class_, "end"))
    return parts


def _force_at(line: PressLine, travel: float, name: str) -> float:
    found = line.at(travel)
    return {"stop": found.stop, "likely": found.likely, "least": found.least}[name] * line.scale.newtons


def _meets(curve: Curve, scales: Scales) -> list[Markup]:
    parts = []
    for travel in curve.meets:
        x, y = scales.at(travel, curve.line.at(travel).stop * curve.line.scale.newtons)
        parts.append(svg.line((x, y - 4.0), (x, y - 42.0), "leader"))
        text = "another land meets the bore" if scales.layout is WIDE else "next land meets"
        parts.append(svg.words((x + 4.0, y - 48.0), text, "note halo", "end"))
    return parts


def _ahead(curve: Curve, scales: Scales) -> list[Markup]:
    if curve.ahead is None:
        return []
    lay = scales.layout
    x, _ = scales.at(curve.ahead, 0.0)
    return [svg.line((x, lay.top), (x, lay.foot), "ahead")]


def _dot(dot: Dot, scales: Scales) -> Markup:
    x, y = scales.at(dot.travel, min(dot.force, scales.top))
    if not dot.above:
        return svg.circle((x, y), 5.0, "dot-read")
    cross = (((x - 6.0, y - 6.0), (x + 6.0, y + 6.0)), ((x - 6.0, y + 6.0), (x + 6.0, y - 6.0)))
    return svg.tag("g", *(svg.line(a, b, "cross") for a, b in cross), class_="dot-above")


def _described(curve: Curve, units: Units) -> str:
    line = curve.line
    home, scale = line.at(line.home), line.scale
    where = units.along(line.home)
    read = f"{len(curve.dots)} readings" if len(curve.dots) != 1 else "one reading"
    above = sum(dot.above for dot in curve.dots)
    said = f"; {above} above the stop line" if above else ""
    return typeset(
        f"At home, {where}, {home.least_text} to {home.stop_text} {scale.unit} is expected, likely "
        f"{home.likely_text}. {read}{said}."
    )
