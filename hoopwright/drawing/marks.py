"""What is drawn, in mm on paper from the lower left corner of the sheet: what both files are made from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from matplotlib import font_manager

from hoopwright.record.figures.style import plot_style

Point = tuple[float, float]
Style = Literal["outline", "thin", "centre", "phantom", "frame"]
"""Lines of ISO 128: 01.2 continuous wide, 01.1 continuous narrow, 04.1 long-dashed dotted narrow, 05.1
long-dashed double-dotted narrow, for what is cut out of a blank later."""
LINE_WIDTHS: dict[Style, float] = {
    "outline": 0.5,
    "thin": 0.25,
    "centre": 0.25,
    "phantom": 0.25,
    "frame": 0.7,
}
"""mm on paper, ISO 128 line group 0.5."""
DASHES: dict[Style, tuple[float, ...]] = {
    "centre": (6.0, 0.75, 0.13, 0.75),
    "phantom": (6.0, 0.75, 0.13, 0.75, 0.13, 0.75),
}
"""Dashes or dots and the gaps after them, mm: 24, 3 and 0.5 widths, ISO 128; other lines are continuous."""
CAPITAL_SHARE = 0.729
"""Height of a capital as a share of the font's size (DejaVu Sans); text heights are those of capitals."""
POINT = 25.4 / 72.0
"""mm in a point."""


@dataclass(frozen=True)
class Line:
    points: tuple[Point, ...]
    style: Style = "outline"


@dataclass(frozen=True)
class Arrow:
    """A filled arrowhead with its tip at a point; dx, dy: the direction it points in, of length 1."""

    tip: Point
    dx: float
    dy: float


@dataclass(frozen=True)
class Hatch:
    """A cut face. rising: whether its lines rise to the right."""

    outline: tuple[Point, ...]
    rising: bool = True


@dataclass(frozen=True)
class Label:
    """One line of text. height: of its capitals; at: of the middle, left or right of its baseline. tone:
    "stamp" lies across the sheet, behind all else."""

    text: str
    at: Point
    height: float = 2.2
    align: Literal["left", "centre", "right"] = "centre"
    turned: float = 0.0
    bold: bool = False
    tone: Literal["ink", "quiet", "stamp"] = "ink"

    @property
    def width(self) -> float:
        return text_width_mm(self.text, self.height)


@dataclass(frozen=True)
class DimensionMark:
    """A dimension as it is drawn. name: of its size; start, end: the points measured between; through: a
    point of its dimension line; upright: whether it measures along the height of the sheet."""

    name: str
    start: Point
    end: Point
    through: Point
    upright: bool
    marks: tuple[Line | Arrow | Label, ...]


Mark = Line | Arrow | Hatch | Label | DimensionMark


@dataclass(frozen=True)
class Sheet:
    """The whole sheet. scale: mm on paper per mm of the part; view: lower left and upper right of what is
    to that scale; origin: left face of the shell on the axis of the sleeve's view; views: drawn there,
    sheet: all else."""

    paper: str
    width: float
    height: float
    scale: float
    view: tuple[Point, Point]
    origin: Point
    views: tuple[Mark, ...]
    sheet: tuple[Mark, ...]


def text_width_mm(text: str, height: float) -> float:
    """Width of a text whose capitals are so high, mm on paper, by the advances of its characters."""
    return sum(map(_advance, text)) * height / CAPITAL_SHARE


@cache
def _advance(character: str) -> float:
    """Width of a character as a share of the font's size."""
    with plot_style():
        font = font_manager.get_font(font_manager.findfont("DejaVu Sans"))
        font.set_size(1000.0, 72.0)
        return float(font.load_char(ord(character)).linearHoriAdvance / 65536.0 / 1000.0)


def moved(marks: Iterable[Mark], dx: float, dy: float) -> tuple[Mark, ...]:
    """The marks shifted on the paper."""
    return tuple(_moved(mark, dx, dy) for mark in marks)


def _moved(mark: Mark, dx: float, dy: float) -> Mark:
    def shift(point: Point) -> Point:
        return point[0] + dx, point[1] + dy

    if isinstance(mark, Line):
        return replace(mark, points=tuple(map(shift, mark.points)))
    if isinstance(mark, Hatch):
        return replace(mark, outline=tuple(map(shift, mark.outline)))
    if isinstance(mark, Arrow):
        return replace(mark, tip=shift(mark.tip))
    if isinstance(mark, Label):
        return replace(mark, at=shift(mark.at))
    return DimensionMark(
        mark.name,
        shift(mark.start),
        shift(mark.end),
        shift(mark.through),
        mark.upright,
        moved(mark.marks, dx, dy),  # type: ignore[arg-type]
    )


def corners(marks: Iterable[Mark]) -> tuple[Point, Point]:
    """Lower left and upper right corner of all the marks."""
    x, y = zip(*(point for mark in marks for point in _extent(mark)), strict=True)
    return (min(x), min(y)), (max(x), max(y))


def _extent(mark: Mark) -> Iterator[Point]:
    if isinstance(mark, Line):
        yield from mark.points
    elif isinstance(mark, Hatch):
        yield from mark.outline
    elif isinstance(mark, Arrow):
        yield mark.tip
    elif isinstance(mark, DimensionMark):
        for inner in mark.marks:
            yield from _extent(inner)
    else:
        along = {"left": (0.0, 1.0), "centre": (-0.5, 0.5), "right": (-1.0, 0.0)}[mark.align]
        across = -0.3 * mark.height, 1.1 * mark.height
        for share in along:
            for up in across:
                out = share * mark.width
                yield (
                    (mark.at[0] - up, mark.at[1] + out)
                    if mark.turned
                    else (mark.at[0] + out, mark.at[1] + up)
                )


def interrupted(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """The marks with upright lines left out where a text stands across them."""
    marks = tuple(marks)
    texts = [corners([one]) for one in _labels(marks) if not one.turned]
    return tuple(one for mark in marks for one in _interrupted(mark, texts))


def _labels(marks: Iterable[Mark]) -> Iterator[Label]:
    for mark in marks:
        if isinstance(mark, DimensionMark):
            yield from _labels(mark.marks)
        elif isinstance(mark, Label):
            yield mark


def _interrupted(mark: Mark, texts: list[tuple[Point, Point]]) -> Iterator[Mark]:
    if isinstance(mark, DimensionMark):
        inner = tuple(one for inner in mark.marks for one in _interrupted(inner, texts))
        yield replace(mark, marks=inner)  # type: ignore[arg-type]
        return
    if not isinstance(mark, Line) or len(mark.points) != 2 or mark.points[0][0] != mark.points[1][0]:
        yield mark
        return
    x, (y, top) = mark.points[0][0], sorted(point[1] for point in mark.points)
    for (left, low), (right, high) in sorted(texts, key=lambda box: box[0][1]):
        if left < x < right and low < top and high > y:
            if low > y:
                yield Line(((x, y), (x, low)), mark.style)
            y = high
    if y < top:
        yield Line(((x, y), (x, top)), mark.style)
