"""What acts on the shell: forces to scale on the section and in the end view, one row per load case."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Any

import numpy as np

from geometry.tubes import Tube
from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.unrolled import nothing_to_show
from hoopwright.service.account import Account, Entry, account_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_CASES = 4
LONGEST = 0.55
"""Length of the greatest force, as a share of the shell's outside diameter."""
ROOM = 0.36
"""Free space round the shell, likewise."""
STUB = 0.18
"""Length of the tube stubs, likewise."""
LOAD, HELD = style.MIDDLE, style.DARK


def figure(results: Results, units: Units) -> Figure:
    with style.look():
        accounts = accounts_of(results)[:MOST_CASES]
        made = style.new_figure(height=6.0 + 68.0 * max(1, len(accounts)))
        if not accounts:
            return style.settled(nothing_to_show(made))
        rows = made.subplots(len(accounts), 2, squeeze=False, width_ratios=[1.25, 1.0])
        for account, (side, end) in zip(accounts, rows, strict=True):
            loading(results, units, side, account=account, view="side")
            loading(results, units, end, account=account, view="end")
        return style.settled(made)


def accounts_of(results: Results) -> list[Account]:
    case = results.case
    if case.service is None or results.study.service is None:
        return []
    return [account_of(one, case.service, case.shell) for one in results.study.service.cases]


def loading(
    results: Results, units: Units, axes: Axes, *, account: Account | None = None, view: str = "side"
) -> Axes:
    """view "side": z to the right and y up, seen from ahead of the shell; "end": x to the right and y up.

    Every arrow starts where the force acts: loads on the axis of the seat, reactions at their tube.
    """
    account = account or accounts_of(results)[0]
    radius = 0.5 * max(land.diameter_start for land in results.case.shell.outside)
    entries = [*account.loads, *account.reactions]
    keys = dict(zip((e.name for e in entries), "abcdefghijklmnopqrstuvwxyz", strict=False))
    scale = LONGEST * 2.0 * radius / max(float(np.linalg.norm(e.force)) for e in entries)
    _body(results, axes, radius, view)
    tubes = _tubes(results)
    for tube in tubes:
        _stub(axes, tube, radius, view)
    for entry in account.loads:
        at = entry.z if view == "side" else 0.0, 0.0
        _arrow(axes, units, entry, at, LOAD, scale=scale, view=view, key=keys[entry.name])
    for entry, tube in zip(account.reactions, tubes, strict=False):
        across = radius * cos(radians(tube.angle)), radius * sin(radians(tube.angle))
        at = tube.z_centre if view == "side" else across[0], across[1]
        _arrow(axes, units, entry, at, HELD, scale=scale, view=view, key=keys[entry.name])
    _held(axes, account, radius, view)
    _frame(axes, account, radius, results.case.shell.width, view, keys)
    return axes


def _frame(
    axes: Axes, account: Account, radius: float, width: float, view: str, keys: dict[str, str]
) -> None:
    room = ROOM * 2.0 * radius
    axes.set_ylim(-radius - room, radius + room)
    axes.set_xlim(*((-room, width + room) if view == "side" else (-radius - room, radius + room)))
    axes.set_aspect("equal", adjustable="box", anchor="SW" if view == "side" else "SE")
    axes.set_axis_off()
    if view == "end":
        axes.text(0.5, 0.0, "end view, forward to the right", transform=axes.transAxes, ha="center",
                  fontsize=style.SMALL, color=style.QUIET)
        return
    axes.set_title(account.case.name, pad=15.0)
    named = ", ".join(f"{key} {name}" for name, key in keys.items())
    axes.text(0.0, 1.02, f"to scale; orange loads, blue what holds: {named}",
              transform=axes.transAxes, fontsize=style.SMALL, color=style.QUIET, in_layout=False)


def _tubes(results: Results) -> tuple[Tube, ...]:
    hold = results.case.service.hold if results.case.service else ()
    return hold if isinstance(hold, tuple) else ()


def _body(results: Results, axes: Axes, radius: float, view: str) -> None:
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
        axes.add_patch(Rectangle((0.0, sign * joint), width, sign * (radius - joint),
                                 facecolor=style.SHELL, **outline))
        axes.add_patch(Rectangle((sleeve.z_start, sign * bore), sleeve.length, sign * (joint - bore),
                                 facecolor=style.SLEEVE, **outline))
    axes.plot([-0.06 * width, 1.06 * width], [0.0, 0.0], color=style.QUIET, linewidth=0.6,
              linestyle=(0, (8, 2, 2, 2)), zorder=1)


def _stub(axes: Axes, tube: Tube, radius: float, view: str) -> None:
    """The first bit of a tube: a strip off the shell, or its outline where it points at the reader."""
    from matplotlib.patches import Ellipse, Polygon

    c, s = cos(radians(tube.angle)), sin(radians(tube.angle))
    outline: dict[str, Any] = {"facecolor": "none", "edgecolor": style.FAINT, "linewidth": 0.9, "zorder": 0}
    half, reach = 0.5 * tube.diameter, STUB * 2.0 * radius
    if view == "end":
        along, across = np.array([c, s]), np.array([-s, c])
        corners = [radius * along * 0.9 + half * across, (radius + reach) * along + half * across,
                   (radius + reach) * along - half * across, radius * along * 0.9 - half * across]
        axes.add_patch(Polygon(corners, closed=True, **outline))
        return
    axes.add_patch(Ellipse((tube.z_centre, (radius + reach) * s), tube.diameter, tube.diameter * abs(c),
                           **outline))
    for side in (-half, half):
        axes.plot([tube.z_centre + side] * 2, [0.9 * radius * s, (radius + reach) * s], color=style.FAINT,
                  linewidth=0.9, zorder=0)


def _held(axes: Axes, account: Account, radius: float, view: str) -> None:
    band = account.case.clamped
    if band is None or view != "side":
        return
    for y in (radius, -radius):
        axes.plot([band.z_start, band.z_end], [y, y], color=HELD, linewidth=3.0, solid_capstyle="butt")
    axes.annotate("held still", (0.5 * (band.z_start + band.z_end), -radius), xytext=(0, -4), va="top",
                  textcoords="offset points", ha="center", fontsize=style.SMALL, color=HELD)


def _arrow(
    axes: Axes, units: Units, entry: Entry, at: tuple[float, float], colour: str, *, scale: float,
    view: str, key: str,
) -> None:
    """The part of the force that lies in the view, to scale, with its size; nothing where it is small."""
    force = entry.force[[2, 1] if view == "side" else [0, 1]]
    size = float(np.hypot(*force))
    if size < 0.03 * float(np.linalg.norm(entry.force)):
        return
    tip = at[0] + scale * float(force[0]), at[1] + scale * float(force[1])
    axes.annotate("", tip, at, zorder=3, annotation_clip=False, arrowprops={
        "arrowstyle": "-|>", "color": colour, "linewidth": 1.4, "shrinkA": 0.0, "shrinkB": 0.0})
    axes.plot([at[0]], [at[1]], marker="o", markersize=2.5, color=colour, zorder=3)
    away = force / size
    axes.annotate(f"{key} {units.text(size, 'N')}", tip, xytext=(14.0 * away[0], 7.0 * away[1]), zorder=4,
                  annotation_clip=False, textcoords="offset points", ha="center", va="center",
                  fontsize=style.SMALL, color=colour,
                  bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 0.5})
