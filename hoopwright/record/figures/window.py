"""Margins against interference, with the window shaded and the present fit with its 95 % interval."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.checks import Margin, evidence_at
from hoopwright.display import Units
from hoopwright.one_thread import one_thread
from hoopwright.record.figures import style
from hoopwright.rows.judging import checks
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.window import Window
from hoopwright.study import CaseStudy

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

POINTS = 17
NOTE_WIDTH = 48
"""Characters of a line of the note in place of a window."""
MAX_MARGIN = 3.0
"""Upper end of the axis; larger margins never govern."""
LINE_STYLES: tuple[tuple[str, object], ...] = (
    (style.DARK, "-"),
    (style.MIDDLE, "-"),
    (style.DARK, (0, (5, 2))),
    (style.MIDDLE, (0, (5, 2))),
    (style.LIGHT, "-"),
    (style.DARK, (0, (1, 1.5))),
    (style.MIDDLE, (0, (1, 1.5))),
    (style.LIGHT, (0, (5, 2))),
)
"""Colour and line style of the checks, worst first; any further ones are drawn faint."""


def figure(plan: SizePlan, units: Units) -> Figure:
    with style.plot_style():
        made = style.new_figure(height=95.0)
        plot_window(plan, units, made.add_subplot())
        return style.lay_out(made)


@one_thread()
def plot_window(plan: SizePlan, units: Units, axes: Axes) -> Axes:
    """Plot one line per assessed check whose margin comes below the upper end of the axis."""
    scale = style.factor("um", units)
    at = _shifts(plan)
    rows = [_margins(plan, s) for s in at]
    x = 1e3 * scale * (plan.window.likely + plan.window.smoothing + at)
    curves = [
        (m.title, np.array([_plotted_margin(r[k]) for r in rows]))
        for k, m in enumerate(rows[0])
        if _is_plotted(rows, k)
    ]
    curves.sort(key=lambda c: float(np.min(c[1])))
    for k, (title, y) in enumerate(curves):
        colour, stroke = LINE_STYLES[k] if k < len(LINE_STYLES) else (style.FAINT, "-")
        axes.plot(
            x, y, color=colour, linestyle=stroke, label=title, zorder=3 if k < len(LINE_STYLES) else 2
        )
    axes.axhline(0.0, color=style.INK, linewidth=1.2, zorder=4)
    _shade_window(plan.window, scale, axes)
    _plot_fit(plan.study, scale, axes)
    lowest = min(float(np.min(y)) for _, y in curves) if curves else -1.0
    axes.set_ylim(max(-1.0, min(lowest, -0.25)) - 0.05, MAX_MARGIN)
    axes.set_xlim(x[0], x[-1])
    reference = units.temperature(20.0)
    axes.set_xlabel(f"interference as measured, on diameter at {reference} [{units.label('um')}]")
    axes.set_ylabel("margin of safety; zero is the limit")
    axes.set_title("Margins against interference")
    axes.grid()
    axes.legend(loc="center left", bbox_to_anchor=(1.01, 0.5), title="worst first")
    return axes


def _shifts(plan: SizePlan) -> np.ndarray:
    """Shifts of interference, mm, that span the window and the interval of the fit with some room."""
    likely, half = plan.window.likely, plan.study.interference_half_width
    ends = [likely - half, likely + half]
    if not plan.window.empty:
        ends += [plan.window.least, plan.window.greatest]
    ends += [c.interference for c in plan.window.conflicts if c.interference is not None]
    room = 0.25 * (max(ends) - min(ends)) + 1e-3
    return np.linspace(max(min(ends) - room, 1e-3), max(ends) + room, POINTS) - likely


def _margins(plan: SizePlan, shift: float) -> Sequence[Margin]:
    evidence = evidence_at(plan.case, plan.study, float(shift), float(shift))
    return [check(evidence) for check in checks()]


def _is_plotted(rows: Sequence[Sequence[Margin]], k: int) -> bool:
    return (
        all(r[k].margin is not None for r in rows) and min(_plotted_margin(r[k]) for r in rows) < MAX_MARGIN
    )


def _plotted_margin(margin: Margin) -> float:
    return np.inf if margin.margin is None else min(margin.margin, 1e3)


def _shade_window(found: Window, scale: float, axes: Axes) -> None:
    if found.empty:
        axes.text(
            0.02,
            0.97,
            f"no window: {fill(found.withheld or 'no interference satisfies every check', NOTE_WIDTH)}",
            transform=axes.transAxes,
            va="top",
            fontweight="bold",
            color=style.MIDDLE,
            bbox={"facecolor": "white", "edgecolor": "none"},
        )
        return
    ends = [1e3 * scale * (end + found.smoothing) for end in (found.least, found.greatest)]
    axes.axvspan(*ends, color=style.LIGHT, alpha=0.35, linewidth=0.0, zorder=0)
    axes.text(
        0.5 * sum(ends),
        0.985,
        "window",
        transform=axes.get_xaxis_transform(),
        ha="center",
        va="top",
        fontweight="bold",
        color=style.DARK,
    )


def _plot_fit(study: CaseStudy, scale: float, axes: Axes) -> None:
    measured = study.nominal_interference + study.interference.smoothing
    likely, half = 1e3 * scale * measured, 1e3 * scale * study.interference_half_width
    axes.errorbar(
        [likely],
        [0.06],
        xerr=[half] if half else None,
        fmt="o",
        color=style.INK,
        capsize=4.0,
        markersize=5.0,
        transform=axes.get_xaxis_transform(),
        zorder=6,
        label="fit as it stands, 95 %",
    )
