"""Parts of an SVG: every text and every attribute is escaped, and nothing carries a style of its own."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup, escape


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


def path(points: Iterable[tuple[float, float]], class_: str, **attributes: object) -> Markup:
    """A polyline."""
    written = "L".join(f"{at(x)} {at(y)}" for x, y in points)
    return tag("path", d=f"M{written}", class_=class_, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, class_: str, **attributes: object) -> Markup:
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=class_, **attributes)


def words(
    x: float, y: float, text: str, class_: str, anchor: str = "start", **attributes: object
) -> Markup:
    return tag("text", text, x=x, y=y, class_=class_, text_anchor=anchor, **attributes)


def hatching(id_: str, class_: str, angle: int, pitch: float = 7.0) -> Markup:
    """A pattern of parallel lines."""
    return tag(
        "pattern",
        tag("line", x1=0.0, y1=0.0, x2=0.0, y2=pitch, class_=class_),
        id=id_,
        width=pitch,
        height=pitch,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({angle})",
    )


def picture(
    prefix: str, size: tuple[float, float], name: str, description: str, *inside: str, **more: object
) -> Markup:
    """A whole figure, named and described. prefix: of its ids."""
    width, height = size
    return tag(
        "svg",
        tag("title", name, id=f"{prefix}-title"),
        tag("desc", description, id=f"{prefix}-desc"),
        *inside,
        role="img",
        viewBox=f"0 0 {at(width)} {at(height)}",
        aria_labelledby=f"{prefix}-title {prefix}-desc",
        **more,
    )


def _shown(value: object) -> str:
    return at(value) if isinstance(value, float) else str(value)
