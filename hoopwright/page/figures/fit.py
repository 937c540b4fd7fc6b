"""The window of interference: its two governing rows, the fit's interval on it, and a rule below.

A dot on each curve stands over the end of the interval at which that row is judged: the picture shows that
every row is judged at its worse end. What the script moves has an id, and the scales are attributes of the
figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil, floor, inf, log10
from typing import Any

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.page.figures.svg import at, hatching, joined, line, path, picture, tag, words
from hoopwright.page.model import Document
from hoopwright.page.readings import cell_of, reading
from hoopwright.page.views.words import margin_shown, typeset

THOU = 25.4
"""µm in a thousandth of an inch."""
SAMPLES = 160
BAR = 24.0
ENDS = ("least", "greatest")


@dataclass(frozen=True)
class Layout:
    """Where things stand, px.

    left, right, top, zero: of the plot and its limit line; bar: top of the window's bar; bracket: of the
    interval; rule: of the scale. labels: how many the rule has room for. roomy: there is room beside the
    plot.
    """

    width: float
    height: float
    left: float
    right: float
    top: float
    zero: float
    bar: float
    bracket: float
    rule: float
    labels: int
    roomy: bool


WIDE = Layout(1000.0, 344.0, 128.0, 968.0, 52.0, 166.0, 196.0, 252.0, 306.0, 10, roomy=True)
MIDDLE = Layout(732.0, 344.0, 128.0, 700.0, 52.0, 166.0, 196.0, 252.0, 306.0, 8, roomy=True)
NARROW = Layout(366.0, 370.0, 16.0, 350.0, 92.0, 190.0, 222.0, 278.0, 332.0, 6, roomy=False)


@dataclass(frozen=True)
class Scales:
    """start, stop: of the rule, µm. top: margin at the top of the plot."""

    layout: Layout
    start: float
    stop: float
    top: float

    def x(self, um: float) -> float:
        share = (um - self.start) / (self.stop - self.start)
        return self.layout.left + share * (self.layout.right - self.layout.left)

    def y(self, margin: float) -> float:
        return max(self.layout.zero - margin * self.per_margin, self.layout.top)

    @property
    def per_margin(self) -> float:
        return (self.layout.zero - self.layout.top) / self.top


def fit_figure(
    curves: Document, units: Units, layout: Layout, prefix: str, numbers: Mapping[str, int]
) -> Markup:
    """The figure. numbers: of the rows, by id. The window must not be withheld."""
    start, stop = span(curves)
    found = {end: cell_of(curves, curves["ends"][end]) for end in ENDS}
    lines = {end: _sampled(curves, cell, end, start, stop) for end, cell in found.items() if cell}
    scales = Scales(layout, start, stop, _top(curves, lines))
    ids = {name: f"{prefix}-{name}" for name in ("inside", "loose", "tight")}
    return picture(
        prefix,
        (layout.width, layout.height),
        "Window of interference",
        _described(curves, units),
        tag(
            "defs",
            hatching(ids["loose"], "hatch", 45),
            hatching(ids["tight"], "hatch", -45),
            tag(
                "clipPath",
                tag(
                    "rect",
                    x=layout.left,
                    y=layout.top,
                    width=layout.right - layout.left,
                    height=layout.bar - layout.top,
                ),
                id=ids["inside"],
            ),
        ),
        _grid(scales),
        *(_curve(scales, points, end, ids["inside"]) for end, points in lines.items()),
        _bar(scales, curves, units, ids),
        _rule(scales),
        *(_dot(scales, curves, found[end], end, prefix) for end in lines),
        _bracket(scales, curves, units, prefix),
        *(_name(scales, lines[end], found[end], end, numbers) for end in lines),
        class_="fit-figure",
        data_left=layout.left,
        data_right=layout.right,
        data_from=at(start),
        data_to=at(stop),
        data_zero=layout.zero,
        data_top=layout.top,
        data_per_margin=scales.per_margin,
        data_width=layout.width,
    )


def span(curves: Document) -> tuple[float, float]:
    """Ends of the rule, µm: the window and the fit's interval with room on both sides."""
    fit = curves["fit"]
    marks = [
        fit["likely_um"] - fit["half_width_um"],
        fit["likely_um"] + fit["half_width_um"],
        *window_marks(curves),
    ]
    room = 0.25 * max(max(marks) - min(marks), 4.0 * fit["half_width_um"], 4.0)
    return max(min(marks) - room, 0.0), max(marks) + room


def window_marks(curves: Document) -> list[float]:
    """Ends of the window, or what leaves none, µm."""
    window = curves["window"]
    ends = [window[end] for end in ENDS if window[end] is not None] or window["clash"]
    return [
        end["effective_interference_um"] for end in ends if end["effective_interference_um"] is not None
    ]


Points = list[tuple[float, float]]


def _sampled(curves: Document, cell: dict[str, Any], end: str, start: float, stop: float) -> list[Points]:
    """The margin of a cell along the interference at which it is judged, in pieces round what cannot be
    told."""
    half = curves["fit"]["half_width_um"] * (1.0 if end == "least" else -1.0)
    pieces: list[Points] = [[]]
    for k in range(SAMPLES + 1):
        um = start + k * (stop - start) / SAMPLES
        margin = reading(curves, cell, um + half).margin
        if margin is not None and margin < inf:
            pieces[-1].append((um, margin))
        elif pieces[-1]:
            pieces.append([])
    return [piece for piece in pieces if len(piece) > 1]


def _top(curves: Document, lines: Mapping[str, list[Points]]) -> float:
    """Margin at the top of the plot: the crossing of the curves and, within reason, both dots lie below."""
    by_end = [dict(point for piece in pieces for point in piece) for pieces in lines.values()]
    shared = set.intersection(*map(set, by_end)) if by_end else set()
    crossing = max((min(side[um] for side in by_end) for um in shared), default=0.3)
    own = [
        reading(curves, cell, curves["fit"]["likely_um"]).margin or 0.0
        for end in ENDS
        if (cell := cell_of(curves, curves["ends"][end]))
    ]
    return max(1.25 * crossing, 1.25 * min(max(own, default=0.0), 2.0 * max(crossing, 0.1)), 0.1)


def _grid(scales: Scales) -> Markup:
    """The limit, and lines at round margins above it."""
    lay = scales.layout
    step = _nice(scales.top / 2.2)
    parts = []
    for k in range(1, int(scales.top / step) + 1):
        y = scales.y(k * step)
        parts.append(line((lay.left, y), (lay.right, y), "grid"))
        if lay.roomy:
            parts.append(words((lay.left - 8.0, y + 4.0), margin_shown(k * step), "note", "end"))
    limit = words((lay.left - 8.0, lay.zero + 4.0), "limit 0", "label", "end")
    if not lay.roomy:
        limit = words((lay.left, lay.zero - 5.0), "limit 0", "note halo")
    head = words((lay.left - 8.0, lay.top - 6.0), "margin", "note", "end") if lay.roomy else Markup("")
    return joined((*parts, line((lay.left, lay.zero), (lay.right, lay.zero), "zero"), limit, head))


def _curve(scales: Scales, pieces: Iterable[Points], end: str, clip: str) -> Markup:
    lay = scales.layout
    drawn = (
        path([(scales.x(um), lay.zero - m * scales.per_margin) for um, m in piece], f"curve curve-{end}")
        for piece in pieces
    )
    return tag("g", *drawn, clip_path=f"url(#{clip})")


def _name(
    scales: Scales, pieces: list[Points], cell: dict[str, Any] | None, end: str, numbers: Mapping[str, int]
) -> Markup:
    """Which row a curve is, where it leaves the plot at its upper end."""
    assert cell is not None
    lay, rising = scales.layout, end == "least"
    inside = [(um, m) for piece in pieces for um, m in piece if 0.0 <= m <= scales.top]
    um, margin = (max if rising else min)(inside, default=(scales.start, scales.top))
    length = 8.0 * max(len(cell["title"]), len(cell["stage"]) + 7) + 34.0
    x, y = scales.x(um) + (0.0 if rising else -length), lay.top - 26.0
    if margin < 0.9 * scales.top:  # it ends at the side
        x, y = scales.x(um) + (-length if rising else 8.0), scales.y(margin) - 34.0
    if not lay.roomy:  # above the plot, the one that rises above the other
        y = lay.top - (60.0 if rising else 26.0)
    x = min(max(x, lay.left), lay.right - length)
    number = numbers.get(cell["id"])
    balloon = joined(
        (
            tag("circle", cx=x + 12.0, cy=y, r=11.0, class_="balloon"),
            words((x + 12.0, y + 4.5), str(number), "balloon-number", "middle"),
        )
    )
    return joined(
        (
            balloon if number is not None else Markup(""),
            words((x + 29.0, y - 2.0), cell["title"], "label halo"),
            words((x + 29.0, y + 13.0), f"{cell['stage']}: {'rises' if rising else 'falls'}", "note halo"),
        )
    )


def _bar(scales: Scales, curves: Document, units: Units, ids: Mapping[str, str]) -> Markup:
    """The window, white between hatched ground; where there is none the hatched parts overlap."""
    lay, marks = scales.layout, window_marks(curves)
    whole = tag("rect", x=lay.left, y=lay.bar, width=lay.right - lay.left, height=BAR, class_="bar-ground")
    edge = tag("rect", x=lay.left, y=lay.bar, width=lay.right - lay.left, height=BAR, class_="bar-edge")
    low, high = _forbidden(curves, scales)
    parts = [
        tag("rect", x=lay.left, y=lay.bar, width=low - lay.left, height=BAR, fill=f"url(#{ids['loose']})"),
        tag("rect", x=high, y=lay.bar, width=lay.right - high, height=BAR, fill=f"url(#{ids['tight']})"),
    ]
    if not curves["window"]["empty"]:
        label = f"window {units.text(curves['window']['width_um'], 'um')}"
        narrow = high - low < 9.0 * len(label)
        parts.append(tag("rect", x=low, y=lay.bar, width=high - low, height=BAR, class_="window"))
        if not narrow:
            parts.append(
                words((0.5 * (low + high), lay.bar + 16.5), typeset(label), "label halo", "middle")
            )
    for k, um in enumerate(marks):
        x, left = scales.x(um), k == 0
        parts.append(line((x, lay.zero), (x, lay.bar + BAR), "window-end"))
        inwards = left != curves["window"]["empty"]
        parts.append(
            words(
                (x + (6.0 if inwards else -6.0), lay.bar - 9.0),
                units.number(um, "um"),
                "strong halo",
                "start" if inwards else "end",
            )
        )
    return joined((whole, edge, *parts))


def _forbidden(curves: Document, scales: Scales) -> tuple[float, float]:
    """Where the ground that is too loose ends and where the ground that is too tight begins, px."""
    lay, window = scales.layout, curves["window"]
    if not window["empty"]:
        low, high = (window[end]["effective_interference_um"] for end in ENDS)
        return scales.x(low), scales.x(high)
    at_ = {clash["what"]: clash["effective_interference_um"] for clash in window["clash"]}
    needs, allows = at_.get("needs at least"), at_.get("allows at most")
    if any(um is None for um in at_.values()) or not at_:
        return lay.right, lay.left
    return (
        lay.left if needs is None else scales.x(needs),
        lay.right if allows is None else scales.x(allows),
    )


def _rule(scales: Scales) -> Markup:
    """µm above, thou below."""
    lay = scales.layout
    parts = [line((lay.left, lay.rule), (lay.right, lay.rule), "axis")]
    for scale, up, label in ((1.0, True, "µm"), (THOU, False, "thou")):
        step = _nice((scales.stop - scales.start) / scale / lay.labels)
        fine = step / 5.0
        way = -1.0 if up else 1.0
        for k in range(ceil(scales.start / scale / fine), floor(scales.stop / scale / fine) + 1):
            x, major = scales.x(k * fine * scale), k % 5 == 0
            parts.append(line((x, lay.rule), (x, lay.rule + way * (9.0 if major else 5.0)), "axis"))
            if major and lay.left + 8.0 < x < lay.right - (8.0 if lay.roomy else 40.0):
                decimals = 0 if step >= 1.0 else max(1, -floor(log10(step)))
                text = f"{k * fine:.{decimals}f}"
                parts.append(words((x, lay.rule + (-14.0 if up else 23.0)), text, "note", "middle"))
        beside = (lay.left - 8.0, "end") if lay.roomy else (lay.right, "end")
        name = f"{label} on diameter" if up and lay.roomy else label
        parts.append(words((beside[0], lay.rule + (-14.0 if up else 23.0)), name, "note", beside[1]))
    return joined(parts)


def _dot(scales: Scales, curves: Document, cell: dict[str, Any] | None, end: str, prefix: str) -> Markup:
    """The margin of a governing row at the end of the interval where it is judged."""
    assert cell is not None
    lay, fit = scales.layout, curves["fit"]
    margin = reading(curves, cell, fit["likely_um"]).margin
    um = fit["likely_um"] + (-1.0 if end == "least" else 1.0) * fit["half_width_um"]
    y = scales.y(margin or 0.0)
    is_beyond = y <= lay.top  # its curve has left the plot before: the text stands on the other side of it
    outwards, anchor = (-9.0, "end") if (end == "least") != is_beyond else (9.0, "start")
    return tag(
        "g",
        line((0.0, y), (0.0, lay.bracket), "drop", id=f"{prefix}-drop-{end}"),
        tag("circle", cx=0.0, cy=y, r=5.0, class_="dot", id=f"{prefix}-dot-{end}"),
        words(
            (outwards, y + (18.0 if is_beyond else -7.0)),  # beside the name of a curve at the top
            margin_shown(margin),
            "strong halo",
            anchor,
            id=f"{prefix}-margin-{end}",
        ),
        id=f"{prefix}-at-{end}",
        transform=f"translate({at(scales.x(um))} 0)",
    )


def _bracket(scales: Scales, curves: Document, units: Units, prefix: str) -> Markup:
    """The 95 % interval of the fit with the cursor on its middle."""
    lay, fit = scales.layout, curves["fit"]
    half = scales.x(scales.start + fit["half_width_um"]) - lay.left
    y, likely = lay.bracket, fit["likely_um"]
    low, high = likely - fit["half_width_um"], likely + fit["half_width_um"]
    beside = max(half, 17.0) + 8.0
    cursor = "M0 -26L17 -8V17H-17V-8Z"
    ridges = joined(line((dx, -3.0), (dx, 11.0), "ridge") for dx in (-6.0, 0.0, 6.0))
    return tag(
        "g",
        line((-half, y), (half, y), "bracket"),
        line((-half, y - 7.0), (-half, y + 7.0), "bracket"),
        line((half, y - 7.0), (half, y + 7.0), "bracket"),
        words((-beside, y + 5.0), units.number(low, "um"), "strong halo", "end", id=f"{prefix}-low"),
        words((beside, y + 5.0), units.number(high, "um"), "strong halo", id=f"{prefix}-high"),
        words((beside, y + 21.0), "the fit, 95 %", "note halo") if lay.roomy else "",
        tag("g", path_of(cursor), ridges, transform=f"translate(0 {at(y)})", class_="cursor"),
        id=f"{prefix}-fit",
        transform=f"translate({at(scales.x(likely))} 0)",
    )


def path_of(data: str) -> Markup:
    return tag("path", d=data, class_="cursor-body")


def _described(curves: Document, units: Units) -> str:
    window, fit = curves["window"], curves["fit"]
    low, high = fit["likely_um"] - fit["half_width_um"], fit["likely_um"] + fit["half_width_um"]
    interval = f"the fit of the case is {units.span(low, high, 'um')} in 95 of 100"
    if window["empty"]:
        clash = "; ".join(
            f"{c['title']} {c['what']}"
            + (
                ""
                if c["effective_interference_um"] is None
                else f" {units.text(c['effective_interference_um'], 'um')}"
            )
            for c in window["clash"]
        )
        return f"No interference lets every row hold: {clash}; {interval}."
    least, greatest = (window[end]["effective_interference_um"] for end in ENDS)
    return f"The window is {units.span(least, greatest, 'um')}; {interval}."


def _nice(step: float) -> float:
    """The next round number: 1, 2 or 5 times a power of ten."""
    power = 10.0 ** floor(log10(step))
    return next(power * k for k in (1.0, 2.0, 5.0, 10.0) if power * k >= step * (1.0 - 1e-9))
