"""Dimensions as ISO 129-1 has them: extension lines, a dimension line with arrowheads, text above it."""

from __future__ import annotations

from typing import Literal

from hoopwright.drawing.marks import Arrow, DimensionMark, Label, Line, Point, text_width_mm

ARROW, ARROW_HALF = 2.4, 0.4
"""Length and half width of an arrowhead, mm on paper."""
TEXT, SMALL = 2.2, 1.7
"""Heights of capitals, mm on paper."""
ABOVE = 0.8
"""From the dimension line up to its text, mm."""
LINE_FEED = 1.55
"""From one line of text to the next, in heights."""
GAP, BEYOND = 0.8, 1.5
"""Of an extension line: gap to the part, and length beyond the dimension line, mm."""
ROOM = 2.0 * ARROW + 1.0
"""Least length of a dimension line with its arrowheads inside, mm."""


def upright(name: str, lines: tuple[str, ...], *, x: float, part: float, radius: float) -> DimensionMark:
    """A diameter beside the part, about the axis at y = 0. x: of its dimension line; part: x of the face
    that it is beside; radius: mm on paper."""
    side = 1.0 if x > part else -1.0
    marks: list[Line | Arrow | Label] = [
        Line(((part + side * GAP, y), (x + side * BEYOND, y)), "thin") for y in (radius, -radius)
    ]
    marks += [Line(((x, -radius), (x, radius)), "thin")]
    marks += [Arrow((x, radius), 0.0, 1.0), Arrow((x, -radius), 0.0, -1.0)]
    for k, text in enumerate(reversed(lines)):
        at = x - ABOVE - k * LINE_FEED * TEXT
        marks.append(Label(text, (at, 0.0), TEXT, turned=90.0))
    return DimensionMark(name, (part, radius), (part, -radius), (x, 0.0), True, tuple(marks))


def upright_room(lines: tuple[str, ...]) -> float:
    """Width that an upright dimension takes on the side of its text, mm."""
    return ABOVE + len(lines) * LINE_FEED * TEXT + 2.0


def bore(
    name: str, lines: tuple[str, ...], *, x: float, radius: float, text: Point, rightwards: bool
) -> DimensionMark:
    """A diameter of a bore in half section: one arrowhead, at the cut half, and the dimension line past the
    axis to a shelf under its text. text: where the shelf comes to the text; rightwards: whether the text
    goes on to the right from there."""
    side = 1.0 if rightwards else -1.0
    end = text[0] + side * (max(text_width_mm(line, TEXT) for line in lines) + 1.5)
    marks: list[Line | Arrow | Label] = [
        Line(((x, radius), (x, text[1]), (end, text[1])), "thin"),
        Arrow((x, radius), 0.0, 1.0),
    ]
    for k, line in enumerate(reversed(lines)):
        at = text[0] + side * 1.0, text[1] + ABOVE + k * LINE_FEED * TEXT
        marks.append(Label(line, at, TEXT, "left" if rightwards else "right"))
    return DimensionMark(name, (x, radius), (x, -radius), (x, 0.0), True, tuple(marks))


def along(
    name: str, lines: tuple[str, ...], *, start: Point, end: Point, y: float, low: float
) -> DimensionMark:
    """A length above or below the part. low: x that its text must not go below, for its neighbour's."""
    up = 1.0 if y > max(start[1], end[1]) else -1.0
    a, b = start[0], end[0]
    text = " / ".join(lines)
    marks: list[Line | Arrow | Label] = [
        Line(((point[0], point[1] + up * GAP), (point[0], y + up * BEYOND)), "thin")
        for point in (start, end)
    ]
    if b - a >= ROOM:
        marks += [Line(((a, y), (b, y)), "thin"), Arrow((a, y), -1.0, 0.0), Arrow((b, y), 1.0, 0.0)]
    else:
        outer = 2.0 * ARROW
        marks += [Line(((a - outer, y), (b + outer, y)), "thin"), Arrow((a, y), 1.0, 0.0)]
        marks += [Arrow((b, y), -1.0, 0.0)]
    middle = max(0.5 * (a + b), low + 0.5 * text_width_mm(text, TEXT))
    marks.append(Label(text, (middle, y + ABOVE), TEXT))
    return DimensionMark(name, start, end, (0.5 * (a + b), y), False, tuple(marks))


def leader(
    lines: tuple[str, ...], *, tip: Point, to: Point, rightwards: bool
) -> tuple[Line | Arrow | Label, ...]:
    """A leader line to a shelf with notes on it, the first line uppermost."""
    dx, dy = tip[0] - to[0], tip[1] - to[1]
    length = (dx * dx + dy * dy) ** 0.5
    side = 1.0 if rightwards else -1.0
    align: Literal["left", "right"] = "left" if rightwards else "right"
    end = to[0] + side * (max(text_width_mm(text, TEXT) for text in lines) + 1.0), to[1]
    labels = (
        Label(text, (to[0] + side * 0.5, to[1] + ABOVE + k * LINE_FEED * TEXT), TEXT, align)
        for k, text in enumerate(reversed(lines))
    )
    return (Line((tip, to, end), "thin"), Arrow(tip, dx / length, dy / length), *labels)
