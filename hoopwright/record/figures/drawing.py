"""Dimensioned drawing: shell and sleeve in half section, to scale."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.display import Units
from hoopwright.geometry import BoreZone, Land
from hoopwright.geometry.joint import Segment, stands_proud
from hoopwright.interference import SeatInterference
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.dimension_chains import Dimension, DimensionChain, Sheet, plot_chain

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

TITLE_WIDTH, RIGHT_MARGIN = 27.0, 6.0
"""mm on paper to the left of the drawing, for the row titles, and to its right."""
MAX_HEIGHT = 52.0
"""Greatest height from the axis to the outside of the shell, mm on paper."""
GAP_ABOVE, GAP_BELOW, HEADING_HEIGHT, FOOT_HEIGHT = 2.0, 3.0, 7.0, 3.0
"""mm on paper: gap to the rows above and below the part, height of the heading, and foot."""
MAX_DESIGNATION = 30
"""Characters of a thread designation shown before it is cut off."""


def figure(results: Results, units: Units) -> Figure:
    with style.plot_style():
        above, below = _chains(results, units)
        sheet = _sheet(results, style.WIDTH)
        made = style.new_figure(height=_height(results, sheet, above, below), constrained=False)
        plot_drawing(results, units, made.add_axes((0.0, 0.0, 1.0, 1.0)))
    return made


def plot_drawing(results: Results, units: Units, axes: Axes) -> Axes:
    """Plot the upper half in section, with the dimensions of the shell above and of the sleeve below."""
    width = axes.bbox.width / axes.figure.dpi / style.MM
    sheet = _sheet(results, width)
    above, below = _chains(results, units)
    axis, at = _heights(results, sheet, below)
    _plot_bodies(axes, results, sheet, axis)
    for chain in below:
        at -= sheet.height(chain)
        plot_chain(axes, sheet, chain, bottom=at, surface=axis + sheet.scale * chain.surface_radius)
    top = axis + sheet.scale * _outside(results) + GAP_ABOVE
    for chain in reversed(above):
        plot_chain(axes, sheet, chain, bottom=top, surface=axis + sheet.scale * chain.surface_radius)
        top += sheet.height(chain)
    unit = {"in": "inches"}.get(units.label("mm"), units.label("mm"))
    axes.text(
        1.0,
        top + HEADING_HEIGHT - 1.5,
        f"Shell and sleeve in half section: sizes in {unit} at {units.temperature(20.0)}, sleeve as turned",
        ha="left",
        va="top",
        fontsize=style.NORMAL,
        fontweight="bold",
    )
    axes.set_xlim(0.0, width)
    axes.set_ylim(0.0, top + HEADING_HEIGHT)
    axes.set_aspect("equal")
    axes.axis("off")
    return axes


def _heights(results: Results, sheet: Sheet, below: list[DimensionChain]) -> tuple[float, float]:
    """y of the axis and of the top of the sleeve's rows, mm on paper.

    The rows lie inside the bore where they fit, else below the axis.
    """
    rows = sum(sheet.height(chain) for chain in below)
    zones = results.case.sleeve.bore
    clear = (
        0.5
        * sheet.scale
        * min(
            min(z.thread.minor if z.thread else z.diameter for z in zones),
            min(min(d.diameter_start, d.diameter_end) for d in results.case.shell.bore),
        )
        - GAP_BELOW
    )
    if rows + GAP_BELOW <= clear:
        return FOOT_HEIGHT, FOOT_HEIGHT + clear
    return FOOT_HEIGHT + rows + GAP_BELOW, FOOT_HEIGHT + rows


def _outside(results: Results) -> float:
    """Greatest radius of the shell and of a flange, mm."""
    lands = (*results.case.shell.outside, *results.case.sleeve.whole_outside)
    return 0.5 * max(max(d.diameter_start, d.diameter_end) for d in lands)


def _sheet(results: Results, width: float) -> Sheet:
    room = width - TITLE_WIDTH - RIGHT_MARGIN
    start, end = results.study.joint.ends
    length = end - start
    scale = min(room / length, MAX_HEIGHT / _outside(results))
    left = TITLE_WIDTH + 0.5 * (room - scale * length) - scale * start
    return Sheet(left, scale, TITLE_WIDTH, width - 1.0)


def _height(
    results: Results, sheet: Sheet, above: list[DimensionChain], below: list[DimensionChain]
) -> float:
    axis, _ = _heights(results, sheet, below)
    return (
        axis
        + sheet.scale * _outside(results)
        + GAP_ABOVE
        + sum(sheet.height(chain) for chain in above)
        + HEADING_HEIGHT
    )


def _chains(results: Results, units: Units) -> tuple[list[DimensionChain], list[DimensionChain]]:
    """Rows of dimensions above the part, from the top down, and below it, from the axis down."""
    shell, sleeve = results.case.shell, results.case.sleeve
    bore = min(min(d.diameter_start, d.diameter_end) for d in shell.bore) / 2.0
    inner = min(z.diameter for z in sleeve.bore) / 2.0
    above = [
        DimensionChain(
            "shell width", (Dimension(0.0, shell.width, units.number(shell.width, "mm")),), bore
        ),
        DimensionChain("shell outside", _land_dimensions(shell.outside, units), _outside(results)),
        DimensionChain("shell bore", _land_dimensions(shell.bore, units), bore),
    ]
    below = [
        DimensionChain("sleeve outside", _land_dimensions(sleeve.whole_outside, units), bore),
        DimensionChain(
            "sleeve bore",
            tuple(_zone_dimension(z, units, len(sleeve.bore) > 1) for z in sleeve.bore),
            inner,
        ),
        DimensionChain(
            "interference, 95 %" if results.study.interference_half_width else "interference",
            _merged([_seat_dimension(s, units) for s in results.study.interference.seats]),
            bore,
        ),
        DimensionChain("sleeve length", _length_dimensions(results, units), inner),
    ]
    if proud := _proud_dimensions(results, units):
        below.append(DimensionChain("stands proud", proud, inner))
    return above, below


def _land_dimensions(lands: tuple[Land, ...], units: Units) -> tuple[Dimension, ...]:
    def size(land: Land) -> str:
        text = "Ø " + units.number(land.diameter_start, "mm")
        if abs(land.diameter_end - land.diameter_start) > 1e-9:
            text += " to " + units.number(land.diameter_end, "mm")
        return text + (f" ±{units.number(land.plus_minus, 'mm')}" if land.plus_minus else "")

    return tuple(
        Dimension(
            land.z_start, land.z_end, size(land), _length(land.length, units) if len(lands) > 1 else ""
        )
        for land in lands
    )


def _zone_dimension(zone: BoreZone, units: Units, several: bool) -> Dimension:
    above = "Ø " + units.number(zone.diameter, "mm")
    below = _length(zone.length, units) if several else ""
    if zone.thread:
        name = zone.thread.designation
        if not style.font_covers(name):
            name = f"thread, pitch {units.text(zone.thread.pitch, 'mm')}"
        short = name if len(name) <= MAX_DESIGNATION else name[: MAX_DESIGNATION - 1] + "…"
        above += " root"
        below = f"{below}, {short}" if below else short
    if zone.blank is not None:
        above += f", blank Ø {units.number(zone.blank, 'mm')}"
    return Dimension(zone.z_start, zone.z_end, above, below)


def _seat_dimension(found: SeatInterference, units: Units) -> Dimension:
    """Effective diametral interference of a seat, ± half its 95 % interval."""
    likely, half = 1e3 * found.likely, 1e3 * found.errors.half_width()
    text = units.number(abs(likely), "um") + (f" ±{units.number(half, 'um')}" if half else "")
    loose = "clearance " if likely < 0.0 else ""
    return Dimension(found.seat.z_start, found.seat.z_end, f"{loose}{text} {units.label('um')}")


def _merged(dimensions: list[Dimension]) -> tuple[Dimension, ...]:
    """The stretches with adjacent ones of equal label merged."""
    merged = dimensions[:1]
    for s in dimensions[1:]:
        last = merged[-1]
        if (s.above, s.below) == (last.above, last.below) and abs(s.start - last.end) < 1e-6:
            merged[-1] = replace(last, end=s.end)
        else:
            merged.append(s)
    return tuple(merged)


def _length_dimensions(results: Results, units: Units) -> tuple[Dimension, ...]:
    """Length of the sleeve with its lead-in chamfers, and its distance from either face of the shell."""
    case = results.case
    sleeve, width = case.sleeve, case.shell.width
    chamfers = [
        f"{side} {units.number(size, 'mm', decimals=_decimals(units))}"
        + ("" if angle is None else f" × {angle:g}°")
        for side, size, angle in (
            ("left", sleeve.chamfer_left, sleeve.chamfer_left_angle),
            ("right", sleeve.chamfer_right, sleeve.chamfer_right_angle),
        )
        if size
    ]
    words = "lead-in " + ", ".join(chamfers) if chamfers else ""
    parts = [Dimension(sleeve.z_start, sleeve.z_end, units.number(sleeve.length, "mm"), words)]
    if sleeve.z_start > 1e-6:
        parts.insert(0, Dimension(0.0, sleeve.z_start, _length(sleeve.z_start, units)))
    if width - sleeve.z_end > 1e-6:
        parts.append(Dimension(sleeve.z_end, width, _length(width - sleeve.z_end, units)))
    return tuple(parts)


def _proud_dimensions(results: Results, units: Units) -> tuple[Dimension, ...]:
    """How far the sleeve stands proud of either face of the shell, its flange left off; none where it does
    not."""
    sleeve, width = results.case.sleeve, results.case.shell.width
    reach = {"left": (sleeve.z_start, 0.0), "right": (width, sleeve.z_end)}
    return tuple(
        Dimension(*reach[end], _length(reach[end][1] - reach[end][0], units))
        for end in stands_proud(results.case.shell, sleeve)
        if end != sleeve.flange_end
    )


def _decimals(units: Units) -> int:
    return 3 if units.system == "inch" else 2


def _length(value: float, units: Units) -> str:
    return units.number(value, "mm", decimals=_decimals(units))


def _plot_bodies(axes: Axes, results: Results, sheet: Sheet, axis: float) -> None:
    joint, sleeve = results.study.joint, results.case.sleeve
    outlines = {"shell": _outline(joint.shell), "sleeve": _chamfered(joint.sleeve, results)}
    for name, hatch in (("shell", "////"), ("sleeve", "\\\\\\\\\\\\")):
        z, r = outlines[name]
        fill = style.SHELL if name == "shell" else style.SLEEVE
        axes.fill(
            sheet.xs(z),
            axis + sheet.scale * r,
            facecolor=fill,
            edgecolor=style.INK,
            linewidth=0.8,
            hatch=hatch,
            zorder=2,
        )
        for end in (z.min(), z.max()):  # edge of the end face behind the section plane
            reach = axis + sheet.scale * r[np.isclose(z, end)].min()
            axes.plot([sheet.x(end)] * 2, [axis, reach], color=style.QUIET, linewidth=0.5, zorder=1)
    for zone in sleeve.bore:
        if zone.thread:
            _plot_thread(axes, zone, sheet, axis)
        if zone.blank is not None:
            _plot_blank(axes, zone, sheet, axis)
    start, end = joint.ends
    ends = [sheet.x(start) - 4.0, sheet.x(end) + 4.0]
    axes.plot(ends, [axis, axis], color=style.INK, linewidth=0.6, linestyle=(0, (14, 2.5, 2, 2.5)))
    _plot_body_names(axes, outlines, sheet, axis)


def _outline(segments: Iterable[Segment]) -> tuple[np.ndarray, np.ndarray]:
    """Closed outline of a body, z and r in mm: the outside from left to right, then the bore back."""
    segments = list(segments)
    outer = [p for s in segments for p in ((s.z_start, s.outer_start), (s.z_end, s.outer_end))]
    inner = [p for s in segments for p in ((s.z_start, s.inner_start), (s.z_end, s.inner_end))]
    z, r = np.array(outer + inner[::-1]).T
    return z, r


def _chamfered(segments: tuple[Segment, ...], results: Results) -> tuple[np.ndarray, np.ndarray]:
    """Outline of the sleeve with its lead-in chamfers.

    Where an angle is not stated the depth is drawn as the length, at most half the wall.
    """
    sleeve = results.case.sleeve
    z, r = _outline(segments)
    outer = np.arange(len(z)) < len(z) // 2
    for end, length, stated in (
        (sleeve.z_start, sleeve.chamfer_left, sleeve.chamfer_depth("left")),
        (sleeve.z_end, sleeve.chamfer_right, sleeve.chamfer_depth("right")),
    ):
        if length:
            depth = min(length, 0.5 * min(s.wall for s in segments)) if stated is None else stated
            r = r - outer * depth * np.clip(1.0 - np.abs(z - end) / length, 0.0, 1.0)
    return z, r


def _plot_blank(axes: Axes, zone: BoreZone, sheet: Sheet, axis: float) -> None:
    """The bore that a zone is pressed with, dashed: it is cut afterwards."""
    bore = axis + 0.5 * sheet.scale * zone.as_pressed.diameter
    ends = sheet.xs(np.array([zone.z_start, zone.z_end]))
    axes.plot(ends, [bore, bore], color=style.INK, linewidth=0.5, linestyle=(0, (6, 3)), zorder=3)


def _plot_thread(axes: Axes, zone: BoreZone, sheet: Sheet, axis: float) -> None:
    """Plot the thread profile, or a hatched band where its teeth would merge on paper."""
    assert zone.thread is not None
    root, crest = 0.5 * zone.thread.major, 0.5 * zone.thread.minor
    pitch = zone.thread.pitch
    if pitch * sheet.scale < 0.6:
        z = np.array([zone.z_start, zone.z_end, zone.z_end, zone.z_start])
        r, hatch = np.array([root, root, crest, crest]), "||||||"
    else:
        places = np.arange(0.0, zone.length / pitch + 1.0, 0.5)
        along = np.append(places[places * pitch < zone.length], zone.length / pitch)
        depth = np.interp(along, places, np.arange(len(places)) % 2)
        z, hatch = zone.z_start + pitch * np.append(along, along[-1]), ""
        r = np.append(root + depth * (crest - root), root)
    axes.fill(
        sheet.xs(z),
        axis + sheet.scale * r,
        facecolor=style.SLEEVE,
        edgecolor=style.INK,
        linewidth=0.4,
        hatch=hatch,
        zorder=3,
    )


def _plot_body_names(axes: Axes, outlines: dict, sheet: Sheet, axis: float) -> None:
    """Write the names of the bodies to the left of their walls, with a leader to each."""
    middles, starts = [], []
    for name in ("sleeve", "shell"):
        z, r = outlines[name]
        at_end = r[np.isclose(z, z.min())]
        middles.append(axis + sheet.scale * 0.5 * (at_end.min() + at_end.max()))
        starts.append(sheet.x(z.min()))
    left = min(starts)
    places = style.place_labels(middles, [2.4, 2.4], low=axis, high=middles[-1] + 20.0, gap=0.8)
    for name, y, middle, start in zip(("sleeve", "shell"), places, middles, starts, strict=True):
        axes.text(left - 9.0, y, name, ha="right", va="center", fontsize=style.SMALL)
        axes.plot(
            [left - 8.5, left - 4.0, start + 0.4],
            [y, middle, middle],
            color=style.QUIET,
            linewidth=0.5,
            zorder=4,
        )
