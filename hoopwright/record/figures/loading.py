"""Loads and reactions on the shell, to scale, in side and end view, one row per load case."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count, product
from math import cos, radians, sin
from string import ascii_lowercase
from typing import TYPE_CHECKING, Any

import numpy as np

from hoopwright.display import Units
from hoopwright.geometry.tubes import Tube
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.unrolled import note_instead
from hoopwright.service.reactions import LoadCaseReactions, Resultant, reactions_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MAX_CASES = 4
MAX_ARROW = 0.55
"""Length of the largest arrow as a share of the shell's outside diameter."""
CLEARANCE = 0.36
"""Free space round the shell, as a share of the same."""
STUB_LENGTH = 0.18
"""Length of the tube stubs, as a share of the same."""
LOAD_COLOUR, SUPPORT_COLOUR = style.MIDDLE, style.DARK


def figure(results: Results, units: Units) -> Figure:
    with style.plot_style():
        balances = reactions_by_case(results)[:MAX_CASES]
        made = style.new_figure(height=6.0 + 68.0 * max(1, len(balances)))
        if not balances:
            return style.lay_out(note_instead(made))
        rows = made.subplots(len(balances), 2, squeeze=False, width_ratios=[1.25, 1.0])
        for balance, (side, end) in zip(balances, rows, strict=True):
            plot_loading(results, units, side, balance=balance, view="side")
            plot_loading(results, units, end, balance=balance, view="end")
        return style.lay_out(made)


def reactions_by_case(results: Results) -> list[LoadCaseReactions]:
    """Loads and reactions of every load case; empty where there are no service loads."""
    case = results.case
    if case.service is None or results.study.service is None:
        return []
    return [reactions_of(one, case.shell) for one in results.study.service.cases]


def plot_loading(
    results: Results,
    units: Units,
    axes: Axes,
    *,
    balance: LoadCaseReactions | None = None,
    view: str = "side",
) -> Axes:
    """Plot the forces of one load case; the first one by default.

    view: "side" has z to the right and y up, "end" x to the right and y up. Every arrow starts where its
    force acts: loads on the axis, reactions at their tube.
    """
    balance = balance or reactions_by_case(results)[0]
    radius = 0.5 * max(land.diameter_start for land in results.case.shell.outside)
    keys = entry_keys()
    loads = [(next(keys), entry) for entry in balance.loads]
    reactions = [(next(keys), entry) for entry in balance.reactions]
    keyed = [*loads, *reactions]
    scale = MAX_ARROW * 2.0 * radius / max(float(np.linalg.norm(entry.force)) for _, entry in keyed)
    _plot_bodies(results, axes, radius, view)
    tubes = {reaction.name: reaction.tube for reaction in balance.case.reactions}
    for tube in tubes.values():
        _plot_stub(axes, tube, radius, view)
    for key, entry in loads:
        at = entry.z if view == "side" else 0.0, 0.0
        _plot_force(axes, units, entry, at, LOAD_COLOUR, scale=scale, view=view, key=key)
    for key, entry in reactions:
        at = _on_outside(tubes[entry.name], radius, view)
        _plot_force(axes, units, entry, at, SUPPORT_COLOUR, scale=scale, view=view, key=key)
    _plot_clamp(axes, balance, radius, view)
    named = ", ".join(f"{key} {entry.name}" for key, entry in keyed)
    _set_limits(axes, balance, radius, results.study.joint.ends, view, named)
    return axes


def entry_keys() -> Iterator[str]:
    """Yield a, b, … z, aa, ab, …: the marks by which the legend names the arrows."""
    for length in count(1):
        yield from map("".join, product(ascii_lowercase, repeat=length))


def _on_outside(tube: Tube, radius: float, view: str) -> tuple[float, float]:
    """Where the tube's axis meets the shell's outside, mm, in the coordinates of the view."""
    x, y = radius * cos(radians(tube.angle)), radius * sin(radians(tube.angle))
    return (tube.z_centre if view == "side" else x), y


def _set_limits(
    axes: Axes,
    balance: LoadCaseReactions,
    radius: float,
    ends: tuple[float, float],
    view: str,
    named: str,
) -> None:
    room = CLEARANCE * 2.0 * radius
    axes.set_ylim(-radius - room, radius + room)
    axes.set_xlim(
        *((ends[0] - room, ends[1] + room) if view == "side" else (-radius - room, radius + room))
    )
    axes.set_aspect("equal", adjustable="box", anchor="SW" if view == "side" else "SE")
    axes.set_axis_off()
    if view == "end":
        axes.text(
            0.5,
            0.0,
            "end view, forward to the right",
            transform=axes.transAxes,
            ha="center",
            fontsize=style.SMALL,
            color=style.QUIET,
        )
        return
    axes.set_title(balance.case.name, pad=15.0)
    style.subtitle(axes, f"to scale; loads orange, reactions blue: {named}")


def _plot_bodies(results: Results, axes: Axes, radius: float, view: str) -> None:
    from matplotlib.patches import Circle, Rectangle

    bore = 0.5 * max(zone.diameter for zone in results.case.sleeve.bore)
    joint = 0.5 * max(land.diameter_start for land in results.case.shell.bore)
    outline: dict[str, Any] = {"edgecolor": style.QUIET, "linewidth": 0.7, "zorder": 1}
    if view == "end":
        for size, fill in ((radius, style.SHELL), (joint, style.SLEEVE), (bore, "white")):
            axes.add_patch(Circle((0.0, 0.0), size, facecolor=fill, **outline))
        return
    width, sleeve = results.case.shell.width, results.case.sleeve
    for sign in (1.0, -1.0):
        axes.add_patch(
            Rectangle((0.0, sign * joint), width, sign * (radius - joint), facecolor=style.SHELL, **outline)
        )
        axes.add_patch(
            Rectangle(
                (sleeve.z_start, sign * bore),
                sleeve.length,
                sign * (joint - bore),
                facecolor=style.SLEEVE,
                **outline,
            )
        )
    start, end = results.study.joint.ends
    axes.plot(
        [start - 0.06 * width, end + 0.06 * width],
        [0.0, 0.0],
        color=style.QUIET,
        linewidth=0.6,
        linestyle=(0, (8, 2, 2, 2)),
        zorder=1,
    )


def _plot_stub(axes: Axes, tube: Tube, radius: float, view: str) -> None:
    """Plot the stub of a tube: a strip in the end view, its outline and edges in the side view."""
    from matplotlib.patches import Ellipse, Polygon

    c, s = cos(radians(tube.angle)), sin(radians(tube.angle))
    outline: dict[str, Any] = {"facecolor": "none", "edgecolor": style.FAINT, "linewidth": 0.9, "zorder": 0}
    half, reach = 0.5 * tube.diameter, STUB_LENGTH * 2.0 * radius
    if view == "end":
        along, across = np.array([c, s]), np.array([-s, c])
        corners = [
            radius * along * 0.9 + half * across,
            (radius + reach) * along + half * across,
            (radius + reach) * along - half * across,
            radius * along * 0.9 - half * across,
        ]
        axes.add_patch(Polygon(corners, closed=True, **outline))
        return
    axes.add_patch(
        Ellipse((tube.z_centre, (radius + reach) * s), tube.diameter, tube.diameter * abs(c), **outline)
    )
    for side in (-half, half):
        axes.plot(
            [tube.z_centre + side] * 2,
            [0.9 * radius * s, (radius + reach) * s],
            color=style.FAINT,
            linewidth=0.9,
            zorder=0,
        )


def _plot_clamp(axes: Axes, balance: LoadCaseReactions, radius: float, view: str) -> None:
    band = balance.case.clamped
    if band is None or view != "side":
        return
    for y in (radius, -radius):
        axes.plot(
            [band.z_start, band.z_end], [y, y], color=SUPPORT_COLOUR, linewidth=3.0, solid_capstyle="butt"
        )
    axes.annotate(
        "clamped",
        (0.5 * (band.z_start + band.z_end), -radius),
        xytext=(0, -4),
        va="top",
        textcoords="offset points",
        ha="center",
        fontsize=style.SMALL,
        color=SUPPORT_COLOUR,
    )


def _plot_force(
    axes: Axes,
    units: Units,
    entry: Resultant,
    at: tuple[float, float],
    colour: str,
    *,
    scale: float,
    view: str,
    key: str,
) -> None:
    """Plot the in-plane part of the force to scale with its magnitude; nothing where that part is small."""
    force = entry.force[[2, 1] if view == "side" else [0, 1]]
    size = float(np.hypot(*force))
    if size < 0.03 * float(np.linalg.norm(entry.force)):
        return
    tip = at[0] + scale * float(force[0]), at[1] + scale * float(force[1])
    axes.annotate(
        "",
        tip,
        at,
        zorder=3,
        annotation_clip=False,
        arrowprops={"arrowstyle": "-|>", "color": colour, "linewidth": 1.4, "shrinkA": 0.0, "shrinkB": 0.0},
    )
    axes.plot([at[0]], [at[1]], marker="o", markersize=2.5, color=colour, zorder=3)
    away = force / size
    axes.annotate(
        f"{key} {units.text(size, 'N')}",
        tip,
        xytext=(14.0 * away[0], 7.0 * away[1]),
        zorder=4,
        annotation_clip=False,
        textcoords="offset points",
        ha="center",
        va="center",
        fontsize=style.SMALL,
        color=colour,
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 0.5},
    )
