"""Half section of shell and sleeve for the shop sheet: lines, faces and words, in mm on paper.

One scale along and across; y runs downwards. What does not fit between its arrows is listed below instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import radians, tan
from typing import Any

from hoopwright.display import Units

LEFT, RIGHT = 26.0, 30.0
"""mm beside the section, for the names of the rows and for notes."""
MAX_RADIUS = 34.0
"""Greatest height from axis to outside, mm."""
ROW, ABOVE, BELOW = 6.5, 15.0, 17.0
"""Height of a row of dimensions, and of both above and below the section, mm."""
ARROW = (2.2, 0.7)
GLYPH = 0.6
"""Width of a digit as a share of its size, on average."""
TEXT = 3.0
"""Height of the words, mm."""
SPACING = {"shell": 2.2, "sleeve": 1.6}
"""Between hatch lines, mm; shell and sleeve also lean to either side."""
MAX_DESIGNATION = 26

Point = tuple[float, float]
Item = dict[str, Any]


@dataclass
class Plot:
    """What is put on paper. beside: dimensions for which there is no room."""

    width: float
    scale: float
    axis: float
    left: float
    start: float
    items: list[Item] = field(default_factory=list)
    beside: list[str] = field(default_factory=list)

    def at(self, z: float, radius: float) -> Point:
        return self.left + (z - self.start) * self.scale, self.axis - radius * self.scale

    def line(self, a: Point, b: Point, weight: float = 0.15, dash: str = "") -> None:
        self.items.append({"kind": "line", "from": list(a), "to": list(b), "weight": weight, "dash": dash})

    def face(self, points: Sequence[Point], weight: float, *, filled: bool = False) -> None:
        self.items.append(
            {"kind": "face", "points": [list(p) for p in points], "weight": weight, "filled": filled}
        )

    def words(self, at: Point, text: str, anchor: str = "center") -> None:
        self.items.append({"kind": "words", "at": list(at), "text": text, "anchor": anchor})


def half_section(d: dict[str, Any], units: Units, width: float) -> dict[str, Any]:
    """The section of a sheet document, in a box of this width, mm."""
    sizes = d["sizes"]
    start = min(0.0, sizes["sleeve_z_start_mm"])
    end = max(sizes["shell_width_mm"], sizes["sleeve_z_end_mm"])
    outside = 0.5 * max(_greatest(land) for land in (*sizes["shell_outside"], *_whole_outside(sizes)))
    scale = min((width - LEFT - RIGHT) / (end - start), MAX_RADIUS / outside)
    spare = width - LEFT - RIGHT - scale * (end - start)
    plot = Plot(width, scale, ABOVE + scale * outside, LEFT + 0.5 * spare, start)
    _body(plot, _shell(sizes), "shell")
    _body(plot, _sleeve(sizes), "sleeve")
    _threads(plot, sizes)
    plot.line(plot.at(start, 0.0), plot.at(end, 0.0), 0.15, "dash-dotted")
    _rows(plot, d, units)
    _notes(plot, d, units)
    below = BELOW + (ROW if _cut_later(sizes) else 0.0)
    return {"width": width, "height": plot.axis + below, "items": plot.items, "beside": plot.beside}


def _greatest(land: dict[str, float]) -> float:
    return max(land["diameter_start_mm"], land["diameter_end_mm"])


def _profile(lands: Sequence[dict[str, float]]) -> list[Point]:
    """z and radius along a surface."""
    return [
        point
        for land in lands
        for point in (
            (land["z_start_mm"], 0.5 * land["diameter_start_mm"]),
            (land["z_end_mm"], 0.5 * land["diameter_end_mm"]),
        )
    ]


def _shell(sizes: dict[str, Any]) -> list[Point]:
    return [*_profile(sizes["shell_outside"]), *reversed(_profile(sizes["shell_bore"]))]


def _sleeve(sizes: dict[str, Any]) -> list[Point]:
    """Outline of the sleeve as it is pressed in, chamfers whose angle is not stated cut at 45°."""
    outer = _profile(_whole_outside(sizes))
    bore = [
        (zone[f"z_{end}_mm"], 0.5 * _pressed_bore(zone))
        for zone in sizes["sleeve_bore"]
        for end in ("start", "end")
    ]
    left, right = sizes["chamfer_left_mm"], sizes["chamfer_right_mm"]
    (z0, r0), (z1, r1) = outer[0], outer[-1]
    low, high = r0 - left * _slope(sizes, "left"), r1 - right * _slope(sizes, "right")
    first = [(z0, max(low, bore[0][1])), (z0 + left, r0)] if left else [(z0, r0)]
    last = [(z1 - right, r1), (z1, max(high, bore[-1][1]))] if right else [(z1, r1)]
    return [*first, *outer[1:-1], *last, *reversed(bore)]


def _slope(sizes: dict[str, Any], end: str) -> float:
    """Depth of a chamfer over its length."""
    angle = sizes[f"chamfer_{end}_angle_deg"]
    return 1.0 if angle is None else tan(radians(angle))


def _whole_outside(sizes: dict[str, Any]) -> list[dict[str, float]]:
    """The lands of the sleeve and its flange, in order of z."""
    flange = [] if sizes["flange"] is None else [sizes["flange"]]
    return sorted((*sizes["sleeve_outside"], *flange), key=lambda land: land["z_start_mm"])


def _pressed_bore(zone: dict[str, Any]) -> float:
    """Diameter of a zone as it is pressed in, mm."""
    return float(zone["diameter_mm"] if zone["blank_mm"] is None else zone["blank_mm"])


def _cut_later(sizes: dict[str, Any]) -> list[dict[str, Any]]:
    """The zones of the bore that are cut after pressing."""
    return [zone for zone in sizes["sleeve_bore"] if zone["blank_mm"] is not None]


def _body(plot: Plot, outline: list[Point], body: str) -> None:
    points = [plot.at(*point) for point in outline]
    for a, b in hatching(points, SPACING[body], 1.0 if body == "shell" else -1.0):
        plot.line(a, b, 0.1)
    plot.face(points, 0.5)


def hatching(points: Sequence[Point], spacing: float, slope: float) -> Iterator[tuple[Point, Point]]:
    """Lines at 45° inside an outline: y = slope · x + c, a spacing apart."""
    offsets = [y - slope * x for x, y in points]
    step = spacing * 2.0**0.5
    count = int((max(offsets) - min(offsets)) / step)
    for k in range(count + 1):
        c = min(offsets) + (k + 0.5) * step
        crossed = sorted(
            x0 + (x1 - x0) * (c - o0) / (o1 - o0)
            for (x0, _), o0, (x1, _), o1 in zip(
                points, offsets, [*points[1:], points[0]], [*offsets[1:], offsets[0]], strict=True
            )
            if (o0 <= c) != (o1 <= c)
        )
        for x, to in zip(crossed[::2], crossed[1::2], strict=True):
            yield (x, slope * x + c), (to, slope * to + c)


def _threads(plot: Plot, sizes: dict[str, Any]) -> None:
    """The minor diameter of a thread, which the section shows at its root, as a thin line (ISO 6410-1);
    dashed what is cut after pressing."""
    for zone in sizes["sleeve_bore"]:
        start, end = zone["z_start_mm"], zone["z_end_mm"]
        if zone["blank_mm"] is not None:
            root, blank = 0.5 * zone["diameter_mm"], 0.5 * zone["blank_mm"]
            outline = [(start, blank), (start, root), (end, root), (end, blank)]
            for a, b in pairwise(plot.at(*point) for point in outline):
                plot.line(a, b, 0.25, "dashed")
        elif zone["minor_mm"] is not None:
            radius = 0.5 * zone["minor_mm"]
            plot.line(plot.at(start, radius), plot.at(end, radius), 0.2)


def _rows(plot: Plot, d: dict[str, Any], units: Units) -> None:
    """Dimensions of the shell above, of the sleeve below."""
    sizes, cut = d["sizes"], d["turn"]["cut"]
    bands = {band["land"]: band for band in d["turn"]["bands"]}
    shell = [(0.0, sizes["shell_width_mm"], _shell_text(sizes, units))]
    y = 0.5 * ROW
    _row(plot, y, "shell", shell, units)
    bore = _lands(sizes["shell_bore"], bands if cut == "shell" else {}, units)
    _row(plot, y + ROW, "bored" if d["bore"]["done"] else "bore to", bore, units)
    y = plot.axis + 4.5
    turned = _lands(sizes["sleeve_outside"], bands if cut == "sleeve" else {}, units)
    if (rim := sizes["flange"]) is not None:
        flange = rim["z_start_mm"], rim["z_end_mm"], f"flange Ø {units.number(_greatest(rim), 'mm')}"
        turned = sorted((*turned, flange))
    _row(plot, y, "sleeve", turned, units)
    _row(plot, y + ROW, "its bore", _pressed_zones(sizes["sleeve_bore"], units), units)
    later = [(z["z_start_mm"], z["z_end_mm"], _zone_text(z, units)) for z in _cut_later(sizes)]
    if later:
        _row(plot, y + 2.0 * ROW, "after pressing", later, units)


def _shell_text(sizes: dict[str, Any], units: Units) -> str:
    lands = sizes["shell_outside"]
    least, most = min(map(_least, lands)), max(map(_greatest, lands))
    across = (
        units.number(most, "mm")
        if least == most
        else f"{units.number(least, 'mm')} to {units.number(most, 'mm')}"
    )
    return f"{units.along_number(sizes['shell_width_mm'])} · Ø {across}"


def _least(land: dict[str, float]) -> float:
    return min(land["diameter_start_mm"], land["diameter_end_mm"])


def _lands(
    lands: Sequence[dict[str, float]], bands: dict[int, dict[str, Any]], units: Units
) -> list[tuple[float, float, str]]:
    """Stretches with their sizes at 20 °C: the band to cut to where there is one, else as in the case."""
    found = []
    for number, land in enumerate(lands, 1):
        ends = bands[number][f"readable_{units.label('mm')}"] if number in bands else None
        if ends is not None:
            decimals = 4 if units.system == "inch" else 3
            text = f"Ø {ends[0]:.{decimals}f} to {ends[1]:.{decimals}f}"
        else:
            one, other = (units.number(land[f"diameter_{end}_mm"], "mm") for end in ("start", "end"))
            text = f"Ø {one}" if one == other else f"Ø {one} to {other}"
        found.append((land["z_start_mm"], land["z_end_mm"], text))
    return found


def _pressed_zones(zones: Sequence[dict[str, Any]], units: Units) -> list[tuple[float, float, str]]:
    """Stretches of the bore as it is pressed in; neighbours that are one bore until then are one."""
    found: list[tuple[float, float, str]] = []
    for zone in zones:
        blank = zone["blank_mm"] is not None
        text = f"Ø {units.number(zone['blank_mm'], 'mm')} blank" if blank else _zone_text(zone, units)
        goes_on = blank and found and found[-1][2] == text
        start = found.pop()[0] if goes_on else zone["z_start_mm"]
        found.append((start, zone["z_end_mm"], text))
    return found


def _zone_text(zone: dict[str, Any], units: Units) -> str:
    if zone["thread"] is not None:
        return zone["thread"][:MAX_DESIGNATION]
    return f"Ø {units.number(zone['diameter_mm'], 'mm')}"


def _row(plot: Plot, y: float, name: str, stretches: list[tuple[float, float, str]], units: Units) -> None:
    """One chain of dimensions; a text wider than its stretch goes beside the last, or below the section."""
    plot.words((0.5, y), name, "left")
    last = stretches[-1]
    for start, end, text in stretches:
        x0, x1 = plot.at(start, 0.0)[0], plot.at(end, 0.0)[0]
        for x in (x0, x1):
            plot.line((x, y - 2.2), (x, y + 2.2), 0.12)
        half = 0.5 * GLYPH * TEXT * len(text) + 1.0
        middle = 0.5 * (x0 + x1)
        if x1 - x0 < 2.0 * half + 2.0 * ARROW[0]:
            plot.line((x0, y), (x1, y), 0.12)
            if (start, end, text) == last and x1 + 2.0 * half < plot.width:
                plot.words((x1 + 2.0, y), text, "left")
            else:
                plot.beside.append(f"{name}, {units.along_span(start, end)}: {text}")
            continue
        plot.words((middle, y), text)
        for a, b in ((x0, middle - half), (x1, middle + half)):
            plot.line((a, y), (b, y), 0.12)
            along = ARROW[0] if b > a else -ARROW[0]
            plot.face([(a, y), (a + along, y - ARROW[1]), (a + along, y + ARROW[1])], 0.0, filled=True)


def _notes(plot: Plot, d: dict[str, Any], units: Units) -> None:
    """Least wall and chamfers beside the section."""
    sizes = d["sizes"]
    x, y = plot.at(
        max(sizes["shell_width_mm"], sizes["sleeve_z_end_mm"]), 0.5 * _greatest(sizes["shell_outside"][-1])
    )
    wall = min(
        0.5 * (_least(out) - _greatest(bore))
        for out in sizes["shell_outside"]
        for bore in sizes["shell_bore"]
        if out["z_start_mm"] < bore["z_end_mm"] and bore["z_start_mm"] < out["z_end_mm"]
    )
    plot.words((x + 2.0, y + 2.0), f"wall {units.text(wall, 'mm')}", "left")
    inner = 0.5 * _least(sizes["sleeve_outside"][-1])
    _, at = plot.at(0.0, inner)
    if sizes["chamfer_right_mm"]:
        plot.words((x + 2.0, at + 3.0), _chamfer_text(sizes, "right", units), "left")
    if sizes["chamfer_left_mm"]:
        left, _ = plot.at(min(0.0, sizes["sleeve_z_start_mm"]), 0.0)
        plot.words((left - 1.5, at + 3.0), _chamfer_text(sizes, "left", units), "right")
    middle = 0.5 * (plot.at(0.0, 0.0)[0] + plot.at(sizes["shell_width_mm"], 0.0)[0])
    plot.words((middle, plot.axis - 4.0), f"sizes at {units.temperature(20.0)}, {units.label('mm')}")


def _chamfer_text(sizes: dict[str, Any], end: str, units: Units) -> str:
    angle = sizes[f"chamfer_{end}_angle_deg"]
    at = "" if angle is None else f" × {angle:g}°"
    return f"chamfer {units.text(sizes[f'chamfer_{end}_mm'], 'mm')}{at}"
