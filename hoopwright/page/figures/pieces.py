"""Line drawings of the four kinds of piece, one beside the other when a case is begun or looked at."""

from __future__ import annotations

from markupsafe import Markup

from hoopwright.page.figures import svg
from hoopwright.starters import PIECES

SIZE = (200.0, 130.0)
_END = 16.0
"""Half of the short axis of an end that is seen aslant, px."""


def piece_figure(piece: str, prefix: str) -> Markup:
    """One of them, by its key of starters.PIECES. prefix: of its ids."""
    ink, words = _FIGURES[piece]
    return svg.picture(
        f"{prefix}-{piece}", SIZE, PIECES[piece].capitalize(), words, ink(), class_="piece-figure"
    )


def _ellipse(x: float, y: float, across: float, along: float, class_: str) -> Markup:
    return svg.tag("ellipse", cx=x, cy=y, rx=across, ry=along, class_=class_)


def _path(d: str, class_: str) -> Markup:
    return svg.tag("path", d=d, class_=class_)


def _tube(left: float, right: float, y: float, radius: float, short: float = _END) -> list[Markup]:
    """A tube seen a little from its right end."""
    body = (
        f"M{left:g} {y - radius:g}H{right:g}A{short:g} {radius:g} 0 0 1 {right:g} {y + radius:g}"
        f"H{left:g}A{short:g} {radius:g} 0 0 1 {left:g} {y - radius:g}Z"
    )
    return [_path(body, "body"), _ellipse(right, y, short, radius, "body")]


def _sleeved(x: float, y: float, radius: float, short: float = _END) -> list[Markup]:
    """The end of a sleeve in its bore."""
    ring = [_ellipse(x, y, 0.78 * short, 0.78 * radius, "inner")]
    return [*ring, _ellipse(x, y, 0.6 * short, 0.6 * radius, "hollow")]


def _crank_shell() -> Markup:
    """A short tube with the stubs of three frame tubes, and threads in its end."""
    stubs = [
        _path("M66 46L30 12L50 4L92 44Z", "body"),
        _path("M84 44L92 4H116L118 44Z", "body"),
        _path("M58 84L8 92V106L62 98Z", "body"),
    ]
    threads = [_ellipse(150.0, 76.0, a, b, "fine") for a, b in ((9.6, 22.8), (8.6, 20.4))]
    return svg.joined((*stubs, *_tube(60.0, 150.0, 76.0, 38.0), *_sleeved(150.0, 76.0, 38.0), *threads))


def _hub() -> Markup:
    """A waist between two flanges with holes for spokes."""
    waist = "M56 42C84 60 108 60 140 42V88C108 70 84 70 56 88A7 23 0 0 1 56 42Z"
    holes = [
        svg.circle((150.0 + dx, 65.0 + dy), 2.2, "hollow")
        for dx, dy in ((0.0, -45.0), (11.0, -32.0), (15.0, -10.0), (15.0, 12.0), (11.0, 34.0), (0.0, 46.0))
    ]
    rim = "M44 13H54A16 52 0 0 1 54 117H44A16 52 0 0 1 44 13Z"
    parts = [_path(rim, "body"), _ellipse(54.0, 65.0, 16.0, 52.0, "body")]
    far = [_path(waist, "body"), _path("M138 13H150A18 52 0 0 1 150 117H138A18 52 0 0 1 138 13Z", "body")]
    near = [_ellipse(150.0, 65.0, 18.0, 52.0, "body"), *holes, *_sleeved(150.0, 65.0, 32.0, 12.0)]
    return svg.joined((*parts, *far, *near))


def _housing() -> Markup:
    """A block on a foot with two bolts, its bore bushed."""
    block = "M22 112V98H44C44 60 62 22 100 22C138 22 156 60 156 98H178V112Z"
    bolts = [svg.tag("rect", x=x, y=88.0, width=18.0, height=10.0, class_="body") for x in (24.0, 158.0)]
    rings = [svg.circle((100.0, 70.0), 34.0, "inner"), svg.circle((100.0, 70.0), 26.0, "hollow")]
    cross = [_path("M100 30V110M60 70H140", "fine")]
    return svg.joined((_path(block, "body"), *bolts, *rings, *cross))


def _plain() -> Markup:
    """A plain tube."""
    return svg.joined((*_tube(48.0, 140.0, 65.0, 48.0, 20.0), *_sleeved(140.0, 65.0, 48.0, 20.0)))


_FIGURES = {
    "crank-shell": (
        _crank_shell,
        "A short tube with the stubs of three frame tubes and threads in its end.",
    ),
    "hub": (_hub, "A waist between two flanges with holes for spokes, a sleeve in its bore."),
    "housing": (_housing, "A block on a foot with two bolts, a sleeve in its bore."),
    "plain": (_plain, "A plain tube with a sleeve in its bore."),
}
