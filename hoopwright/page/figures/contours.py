"""Bands and lines of equal value of a grid that lies anywhere on a figure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import cast

import numpy as np
from contourpy import FillType, LineType, contour_generator
from markupsafe import Markup

from hoopwright.page.figures.svg import Point, at, path, tag, words
from hoopwright.page.views.words import typeset

BANDS = 12
"""Most bands of a scale: there are as many colours."""
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
LABEL_ROOM = (46.0, 16.0)
"""Width and height that the number on a line takes, px."""
LONG_ENOUGH = 1.5
"""Length of a line as a multiple of its number, from which on it carries one."""
PLACES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)
"""Where along a line its number may stand, the best first."""


@dataclass(frozen=True)
class Scale:
    """Edges of the bands of a map, in the unit shown, evenly spaced on round numbers. is_open: the last
    band holds all above as well."""

    edges: tuple[float, ...]
    decimals: int
    is_open: bool = False

    def text(self, value: float) -> str:
        return typeset(f"{value:.{self.decimals}f}")

    def band(self, value: float) -> int:
        """Number of the band of a value; what lies beyond an end is in the last one there."""
        return min(max(int(np.searchsorted(self.edges, value, side="right")) - 1, 0), len(self.edges) - 2)

    def class_of(self, band: int) -> str:
        """Class of a band: few bands are spread over all colours."""
        count = len(self.edges) - 1
        return f"band-{round(band * (BANDS - 1) / max(count - 1, 1))}"


def scale_of(low: float, high: float, *, is_open: bool = False) -> Scale:
    """A scale from at most low to at least high; within the first band of low, and the last of high."""
    high = max(high, low + 1e-9)
    first, last, step, decimals = next(_evenly(low, high))
    edges = (k * step for k in range(first, max(last, first + 1) + 1))
    return Scale(tuple(edges), decimals, is_open)


def _evenly(low: float, high: float) -> Iterator[tuple[int, int, float, int]]:
    """First and last edge in steps, the step, and its decimals; finest first, of at most BANDS bands."""
    raw = (high - low) / BANDS
    power = 10.0 ** floor(log10(raw))
    for size in (s * p for p in (power, 10.0 * power) for s in STEPS):
        first, last = floor(low / size + 1e-9), ceil(high / size - 1e-9)
        if size >= raw * (1.0 - 1e-9) and last - first <= BANDS:
            whole = floor(log10(size) + 1e-9)
            halves = abs(size / 10.0**whole - 2.5) < 1e-6
            yield first, last, size, max(0, -whole + halves)


@dataclass(frozen=True)
class Field:
    """Values on a grid, (rows, columns), with the place of every point on the figure, px."""

    x: np.ndarray
    y: np.ndarray
    value: np.ndarray


def bands(fields: Sequence[Field], scale: Scale) -> Markup:
    """Filled bands of several grids, one path for each band."""
    edges = [-np.inf, *scale.edges[1:-1], np.inf]
    shapes = []
    for band, (low, high) in enumerate(zip(edges[:-1], edges[1:], strict=True)):
        drawn = "".join(_filled(field, low, high) for field in fields)
        if drawn:
            shapes.append(tag("path", d=drawn, class_=scale.class_of(band), fill_rule="evenodd"))
    return Markup("").join(shapes)


def area(fields: Sequence[Field], low: float, high: float, class_: str, **attributes: object) -> Markup:
    """What lies between two values, as one shape; empty where nothing does."""
    drawn = "".join(_filled(field, low, high) for field in fields)
    if not drawn:
        return Markup()
    return tag("path", d=drawn, class_=class_, fill_rule="evenodd", **attributes)


def _filled(field: Field, low: float, high: float) -> str:
    made = contour_generator(field.x, field.y, field.value, fill_type=FillType.OuterOffset)
    low = max(low, float(field.value.min()) - 1.0)
    high = min(high, float(field.value.max()) + 1.0)
    if not low < high:
        return ""
    found = []
    polygons = cast("tuple[list[np.ndarray], list[np.ndarray]]", made.filled(low, high))
    for points, offsets in zip(*polygons, strict=True):
        for start, end in zip(offsets[:-1], offsets[1:], strict=True):
            found.append("M" + "L".join(_place(p) for p in points[int(start) : int(end) - 1]) + "Z")
    return "".join(found)


def _place(point: Sequence[float]) -> str:
    return f"{at(round(float(point[0]), 1))} {at(round(float(point[1]), 1))}"


def lines(fields: Sequence[Field], scale: Scale, beside: Sequence[Point] = ()) -> Markup:
    """Lines between the bands, each with its value where it is long enough, clear of the edges, and none
    stands near. beside: places of other texts."""
    drawn, labels, taken = [], [], list(beside)
    ends = _ends(fields)
    for value, one in ((value, one) for value in scale.edges[1:-1] for one in fields):
        for points in _lines(one, value):
            drawn.append(path(((round(x, 1), round(y, 1)) for x, y in points), "iso"))
            free = (p for p in _places(points) if ends[0] < p[0] < ends[1] and _is_clear(p, one))
            place = next((p for p in free if _is_free(p, taken)), None)
            if place is not None:
                taken.append(place)
                label = (place[0], place[1] + 4.0)
                labels.append(words(label, scale.text(value), "iso-value halo", "middle"))
    return Markup("").join((*drawn, *labels))


def _ends(fields: Sequence[Field]) -> Point:
    """Between which a number keeps clear of the sides, px."""
    if not fields:
        return 0.0, 0.0
    left, right = min(float(f.x.min()) for f in fields), max(float(f.x.max()) for f in fields)
    return left + 0.4 * LABEL_ROOM[0], right - 0.4 * LABEL_ROOM[0]


def _lines(field: Field, value: float) -> Iterator[list[Point]]:
    made = contour_generator(field.x, field.y, field.value, line_type=LineType.Separate)
    for points in cast("list[np.ndarray]", made.lines(value)):
        yield [(float(x), float(y)) for x, y in points]


def _places(points: Sequence[Point]) -> Iterator[Point]:
    """Places along a line for its number, from the middle outwards; none on one that is too short."""
    xy = np.asarray(points)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    if along[-1] >= LONG_ENOUGH * LABEL_ROOM[1]:
        for share in PLACES:
            at_ = share * along[-1]
            yield float(np.interp(at_, along, xy[:, 0])), float(np.interp(at_, along, xy[:, 1]))


def _is_clear(place: Point, field: Field) -> bool:
    """Whether a number stands off the lower and upper edge of its grid there, so that none is cut."""
    x, half = field.x[0], 0.5 * LABEL_ROOM[1]
    top, foot = (np.interp(place[0], x, edge) for edge in (field.y.min(axis=0), field.y.max(axis=0)))
    return bool(top + half <= place[1] <= foot - half)


def _is_free(place: Point, taken: Sequence[Point]) -> bool:
    wide, high = LABEL_ROOM
    return not any(abs(place[0] - x) < wide and abs(place[1] - y) < high for x, y in taken)


def scale_bar(scale: Scale, left: float, width: float, top: float, name: str) -> Markup:
    """The bands in a row with the value at every edge where there is room. name: quantity and unit."""
    count = len(scale.edges) - 1
    step, every = width / count, max(1, ceil(42.0 * count / width))
    shapes = [
        tag("rect", x=left + k * step, y=top, width=step, height=12.0, class_=scale.class_of(k))
        for k in range(count)
    ]
    shapes.append(tag("rect", x=left, y=top, width=width, height=12.0, class_="scale-edge"))
    for k, value in enumerate(scale.edges):
        x = left + k * step
        shapes.append(tag("line", x1=x, y1=top, x2=x, y2=top + 16.0, class_="tick"))
        if k % every == 0:
            text = "more" if scale.is_open and k == count else scale.text(value)
            shapes.append(words((x, top + 29.0), text, "label", "middle"))
    shapes.append(words((left, top - 7.0), name, "note"))
    return Markup("").join(shapes)
