"""Elements of an SVG figure. Every text and attribute is escaped; none carries a style of its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup, escape

Point = tuple[float, float]
ARROW = (9.0, 1.8)
"""Length and half of the breadth of an arrowhead, px."""


def element(name: str, *content: str, **attributes: object) -> Markup:
    """An element; class_ stands for class, and an underscore in a name for a hyphen."""
    given = Markup(" ").join(
        Markup('{}="{}"').format(key.rstrip("_").replace("_", "-"), _text(value))
        for key, value in attributes.items()
        if value is not None
    )
    inside = Markup("").join(map(escape, content))
    return Markup("<{}{}>{}</{}>").format(Markup(name), _spaced(given), inside, Markup(name))


def _spaced(given: Markup) -> Markup:
    return Markup(" ") + given if given else given


def _text(value: object) -> str:
    return number(value) if isinstance(value, float) else str(value)


def number(value: float) -> str:
    """A coordinate to a hundredth of a pixel, never −0."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def joined(parts: Iterable[Markup]) -> Markup:
    return Markup("").join(parts)


def line(start: Point, end: Point, class_: str) -> Markup:
    return element("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], class_=class_)


def polygon(points: Sequence[Point], class_: str, fill: str | None = None) -> Markup:
    return element("polygon", points=_points(points), class_=class_, fill=fill)


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def text(at: Point, content: str, class_: str, anchor: str = "start") -> Markup:
    return element("text", content, x=at[0], y=at[1], class_=class_, text_anchor=anchor)


def circle(at: Point, radius: float, class_: str) -> Markup:
    return element("circle", cx=at[0], cy=at[1], r=radius, class_=class_)


def arrowhead(tip: Point, towards: Point) -> Markup:
    """A filled head that points from `towards` to its tip; the two lie level or upright."""
    (x, y), (length, half) = tip, ARROW
    if abs(tip[0] - towards[0]) >= abs(tip[1] - towards[1]):
        back = x - length if x > towards[0] else x + length
        return polygon(((x, y), (back, y - half), (back, y + half)), "arrow")
    back = y - length if y > towards[1] else y + length
    return polygon(((x, y), (x - half, back), (x + half, back)), "arrow")


def dimension_line(start: Point, end: Point) -> Markup:
    """A line with a head at either end; where it is too short for both they point inwards from outside."""
    span = max(abs(end[0] - start[0]), abs(end[1] - start[1]))
    if span < 3.0 * ARROW[0]:
        level = abs(end[0] - start[0]) >= abs(end[1] - start[1])
        dx, dy = (2.0 * ARROW[0], 0.0) if level else (0.0, 2.0 * ARROW[0])
        before, after = (start[0] - dx, start[1] - dy), (end[0] + dx, end[1] + dy)
        return joined(
            (line(before, after, "dim"), arrowhead(start, before), arrowhead(end, after)),
        )
    return joined((line(start, end, "dim"), arrowhead(start, end), arrowhead(end, start)))


def hatch(id_: str, class_: str, *, angle: float, pitch: float = 8.0) -> Markup:
    """A pattern of parallel lines for the inside of a section."""
    ruled = element("line", x1=0.0, y1=0.0, x2=0.0, y2=pitch, class_=class_)
    return element(
        "pattern",
        ruled,
        id=id_,
        width=pitch,
        height=pitch,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({number(angle)})",
    )


def figure(
    prefix: str, size: tuple[float, float], title: str, description: str, *content: Markup, class_: str
) -> Markup:
    """A whole figure with its name and description; ids begin with the prefix."""
    width, height = size
    return element(
        "svg",
        element("title", title, id=f"{prefix}-title"),
        element("desc", description, id=f"{prefix}-desc"),
        *content,
        class_=class_,
        role="img",
        width=width,
        height=height,
        viewBox=f"0 0 {number(width)} {number(height)}",
        aria_labelledby=f"{prefix}-title {prefix}-desc",
    )
