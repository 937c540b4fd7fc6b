"""Parts of an SVG: every text and every attribute is escaped, and nothing carries a style of its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup, escape

Point = tuple[float, float]
ARROW = (9.0, 1.8)
"""Length and half of the breadth of an arrowhead, px."""


def tag(name: str, *inside: str, **attributes: object) -> Markup:
    """An element. class_ stands for class, an underscore for a hyphen; an attribute that is None is left
    out."""
    given = Markup("").join(
        Markup(' {}="{}"').format(key.rstrip("_").replace("_", "-"), _shown(value))
        for key, value in attributes.items()
        if value is not None
    )
    return Markup("<{0}{1}>{2}</{0}>").format(Markup(name), given, joined(inside))


def joined(parts: Iterable[str]) -> Markup:
    return Markup("").join(map(escape, parts))


def at(value: float) -> str:
    """A coordinate in hundredths of a pixel."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def path(points: Iterable[Point], class_: str, **attributes: object) -> Markup:
    """A polyline."""
    written = "L".join(f"{at(x)} {at(y)}" for x, y in points)
    return tag("path", d=f"M{written}", class_=class_, **attributes)


def polygon(points: Sequence[Point], class_: str, **attributes: object) -> Markup:
    written = " ".join(f"{at(x)},{at(y)}" for x, y in points)
    return tag("polygon", points=written, class_=class_, **attributes)


def line(start: Point, end: Point, class_: str, **attributes: object) -> Markup:
    return tag("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], class_=class_, **attributes)


def circle(middle: Point, radius: float, class_: str, **attributes: object) -> Markup:
    return tag("circle", cx=middle[0], cy=middle[1], r=radius, class_=class_, **attributes)


def words(place: Point, text: str, class_: str, anchor: str = "start", **attributes: object) -> Markup:
    return tag("text", text, x=place[0], y=place[1], class_=class_, text_anchor=anchor, **attributes)


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


def hatching(id_: str, class_: str, angle: float, pitch: float = 7.0) -> Markup:
    """A pattern of parallel lines."""
    return tag(
        "pattern",
        tag("line", x1=0.0, y1=0.0, x2=0.0, y2=pitch, class_=class_),
        id=id_,
        width=pitch,
        height=pitch,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({at(float(angle))})",
    )


def picture(
    prefix: str,
    size: tuple[float, float],
    name: str,
    description: str,
    *inside: str,
    links: bool = False,
    **more: object,
) -> Markup:
    """A whole figure, named and described. prefix: of its ids. links: whether it holds any; what is inside
    an image is told to nobody who does not see it."""
    width, height = size
    return tag(
        "svg",
        tag("title", name, id=f"{prefix}-title"),
        tag("desc", description, id=f"{prefix}-desc"),
        *inside,
        role="group" if links else "img",
        width=width,
        height=height,
        viewBox=f"0 0 {at(width)} {at(height)}",
        aria_labelledby=f"{prefix}-title {prefix}-desc",
        **more,
    )


def _shown(value: object) -> str:
    return at(value) if isinstance(value, float) else str(value)
