"""The wall that a route leaves, to one scale for all routes, with the user's own limit on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.figures.svg import hatching, line, path, picture, tag, words
from hoopwright.page.views.words import typeset

WIDTH, HEIGHT = 300.0, 120.0
LEFT, RIGHT, TOP, DEPTH = 14.0, 188.0, 16.0, 84.0
TOOTH = 4.0


@dataclass(frozen=True)
class Wall:
    """What a route leaves, mm. part: thickness of what is pressed in, 0 where a thread is cut instead
    of that. limit: least wall, None where the case gives none."""

    left: float
    part: float
    limit: float | None


def scale_of(walls: Sequence[Wall]) -> float:
    """Pixels per millimetre at which the thickest of them has room, and a limit that all fall short of."""
    depths = (max(wall.left, 0.0) + wall.part + (0.0 if wall.part else 0.5) for wall in walls)
    return DEPTH / max(*depths, *(wall.limit or 0.0 for wall in walls))


def wall_figure(wall: Wall, scale: float, units: Units, prefix: str) -> Markup:
    """The section through the wall, its outside above."""
    depth = max(wall.left, 0.0) * scale
    return picture(
        prefix,
        (WIDTH, HEIGHT),
        "Wall left",
        _described(wall, units),
        tag(
            "defs",
            hatching(f"{prefix}-shell", "hatch", 45, 8.0),
            hatching(f"{prefix}-sleeve", "hatch", -45, 8.0),
        ),
        *_metal(TOP, depth, f"{prefix}-shell", "shell"),
        *(
            _metal(TOP + depth, wall.part * scale, f"{prefix}-sleeve", "sleeve")
            if wall.part
            else _thread(TOP + depth)
        ),
        *_limit(wall, scale, units),
        class_="wall-figure",
    )


def _metal(top: float, depth: float, hatch: str, class_: str) -> Iterator[Markup]:
    size = {"x": LEFT, "y": top, "width": RIGHT - LEFT, "height": depth}
    yield tag("rect", class_=class_, **size)
    yield tag("rect", fill=f"url(#{hatch})", **size)
    yield tag("rect", class_="outline", **size)


def _thread(y: float) -> Iterator[Markup]:
    count = int((RIGHT - LEFT) / (2.0 * TOOTH))
    points = [(LEFT + k * TOOTH, y + (TOOTH if k % 2 else 0.0)) for k in range(2 * count + 1)]
    yield path(points, "outline thread")


def _limit(wall: Wall, scale: float, units: Units) -> Iterator[Markup]:
    if wall.limit is None:
        return
    y = TOP + wall.limit * scale
    yield line((4.0, y), (RIGHT + 12.0, y), "limit")
    # Above and below the line: side by side a limit in inches has no room.
    yield words((RIGHT + 16.0, y - 3.0), "limit", "limit-text")
    yield words((RIGHT + 16.0, y + 14.0), typeset(units.given(wall.limit, "mm")), "limit-text")


def _described(wall: Wall, units: Units) -> str:
    part = (
        f", with {units.text(wall.part, 'mm')} pressed in" if wall.part else ", with a thread cut into it"
    )
    limit = "" if wall.limit is None else f"; the limit is {units.given(wall.limit, 'mm')}"
    return f"{units.text(wall.left, 'mm')} of wall{part}{limit}."
