"""A strip read in the direction of the cut: metal to take off, the band with its aim, and too much gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from hoopwright.page.figures import svg

BAND = (0.36, 0.64)
"""Where the band begins and ends, as a share of the strip: it stays there whatever is typed."""
SIDE, TOP, DEPTH = 14.0, 46.0, 32.0


@dataclass(frozen=True)
class Strip:
    """first, last: ends of the band in the direction of the cut, aim: in it; now: what was read, None for
    nothing; all in one unit. texts: of first, last and now. before, after: words on either side of the
    band. name: prefix of its ids."""

    first: float
    last: float
    aim: float
    now: float | None
    texts: tuple[str, str, str]
    before: str
    after: str
    name: str
    title: str


def cut_strip(strip: Strip) -> Markup:
    """The figure at both widths."""
    return svg.joined(_figure(strip, width, wide) for width, wide in ((720.0, True), (366.0, False)))


def place(strip: Strip, value: float, width: float) -> float:
    """Where a size stands, px, off the strip or on it."""
    length, span = width - 2.0 * SIDE, strip.last - strip.first
    share = (value - strip.first) / span if span else 0.5
    return SIDE + length * (BAND[0] + share * (BAND[1] - BAND[0]))


def _figure(strip: Strip, width: float, wide: bool) -> Markup:
    prefix = f"{strip.name}-{'wide' if wide else 'narrow'}"
    left, right = place(strip, strip.first, width), place(strip, strip.last, width)
    if strip.first == strip.last:
        left, right = (SIDE + share * (width - 2.0 * SIDE) for share in BAND)
    foot = TOP + DEPTH
    now = f" Now {strip.texts[2]}." if strip.now is not None else ""
    return svg.picture(
        prefix,
        (width, foot + 34.0),
        strip.title,
        f"From {strip.before} over the band, {strip.texts[0]} to {strip.texts[1]}, to {strip.after}.{now}",
        svg.tag("defs", svg.hatching(f"{prefix}-gone", "hatch", angle=45.0, pitch=8.0)),
        _box(SIDE, left, "strip-white"),
        _box(right, width - SIDE, "strip-gone", fill=f"url(#{prefix}-gone)"),
        svg.tag("rect", x=SIDE, y=TOP, width=width - 2.0 * SIDE, height=DEPTH, class_="strip-edge"),
        svg.tag(
            "rect", x=left, y=TOP - 5.0, width=right - left, height=DEPTH + 10.0, class_="band-box white"
        ),
        svg.line(
            (place(strip, strip.aim, width), TOP - 5.0), (place(strip, strip.aim, width), foot + 5.0), "aim"
        ),
        svg.words((0.5 * (SIDE + left), TOP + 21.0), strip.before, "said", "middle"),
        svg.words((0.5 * (right + width - SIDE), TOP + 21.0), strip.after, "said halo", "middle"),
        svg.words((left, foot + 24.0), strip.texts[0], "band-size", "middle"),
        svg.words((right, foot + 24.0), strip.texts[1], "band-size", "middle"),
        *(_pointer(strip, width) if strip.now is not None else ()),
        class_=f"cut-strip {'figure-wide figure-middle' if wide else 'figure-narrow'}",
    )


def _box(start: float, end: float, class_: str, fill: str | None = None) -> Markup:
    return svg.tag("rect", x=start, y=TOP, width=end - start, height=DEPTH, class_=class_, fill=fill)


def _pointer(strip: Strip, width: float) -> Iterator[Markup]:
    """Down to the strip where the size lies on it, out of it at the end that it lies beyond."""
    assert strip.now is not None
    x, end = place(strip, strip.now, width), TOP - 7.0
    if x < SIDE:
        x, points = SIDE, ((SIDE, end - 7.0), (SIDE + 14.0, end - 14.0), (SIDE + 14.0, end))
    elif x > width - SIDE:
        x = width - SIDE
        points = ((x, end - 7.0), (x - 14.0, end - 14.0), (x - 14.0, end))
    else:
        points = ((x, end), (x - 9.0, end - 13.0), (x + 9.0, end - 13.0))
    yield svg.polygon(points, "pointer")
    anchor = "start" if x < 60.0 else "end" if x > width - 60.0 else "middle"
    yield svg.words((x, end - 19.0), f"{strip.texts[2]} now", "now-size", anchor)
