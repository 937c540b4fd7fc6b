"""Margins of two or more routes side by side, by check."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from hoopwright.checks import Margin
from hoopwright.display import Units
from hoopwright.record.figures import style
from hoopwright.sizing.routes import RouteResult

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MAX_BAR, MIN_BAR = 2.0, -1.0
"""Bars are clipped here; the number beside each is not."""
BAR_STYLES = (
    {"facecolor": style.DARK, "hatch": None},
    {"facecolor": style.LIGHT, "hatch": "////"},
    {"facecolor": "white", "hatch": "...."},
    {"facecolor": style.MIDDLE, "hatch": "\\\\\\\\"},
)
ROW_HEIGHT = 3.6
"""Height of one bar, mm on paper."""


def figure(results: Sequence[RouteResult], units: Units) -> Figure:  # noqa: ARG001 - margins have no unit
    rows = len(_checks(results))
    with style.plot_style():
        made = style.new_figure(height=34.0 + ROW_HEIGHT * (rows * (len(results) + 0.8)))
        plot_comparison(results, made.add_subplot())
        return style.lay_out(made)


def plot_comparison(results: Sequence[RouteResult], axes: Axes) -> Axes:
    """Plot a group of bars per check with one bar per route; text marks what fails or is undecided."""
    checks = _checks(results)
    share = 0.82 / len(results)
    for k, result in enumerate(results):
        margins = {m.id: m for m in result.margins if m.margin is not None}
        for row, identity in enumerate(checks):
            bars = axes.barh(
                row - 0.41 + (k + 0.5) * share,
                _clipped(margins.get(identity)),
                height=0.9 * share,
                edgecolor=style.INK,
                linewidth=0.5,
                **BAR_STYLES[k % len(BAR_STYLES)],
            )
            if row == 0:
                bars.set_label(result.route.name)
            _label(axes, row - 0.41 + (k + 0.5) * share, margins.get(identity))
    axes.axvline(0.0, color=style.INK, linewidth=1.2)
    axes.set_xlim(MIN_BAR - 0.05 if _any_negative(results) else -0.05, MAX_BAR + 0.45)
    axes.set_ylim(len(checks) - 0.4, -0.6)
    axes.set_yticks(range(len(checks)), list(checks.values()))
    axes.tick_params(axis="y", length=0.0)
    axes.grid(axis="x")
    axes.set_xlabel(f"margin of safety; zero is the limit; bars end at {MAX_BAR:+g}")
    axes.set_title("Margins by check")
    axes.legend(
        loc="upper center",
        bbox_to_anchor=(0.4, -0.09 - 0.3 / max(len(checks), 4)),
        ncols=1 if len(results) > 2 else 2,
    )
    return axes


def _clipped(found: Margin | None) -> float:
    return 0.0 if found is None or found.margin is None else min(max(found.margin, MIN_BAR), MAX_BAR)


def _label(axes: Axes, y: float, found: Margin | None) -> None:
    text, state = "not judged", ""
    if found is not None and found.margin is not None:
        text = "no demand" if math.isinf(found.margin) else f"{found.margin:+.2f}"
        state = {"fails": "  fails", "unresolved": "  undecided"}.get(found.state, "")
    axes.annotate(
        text + state,
        (max(_clipped(found), 0.0), y),
        xytext=(3.0, 0.0),
        textcoords="offset points",
        va="center",
        fontsize=style.SMALL,
        color=style.QUIET if found is None else style.INK,
        fontweight="bold" if state else "normal",
    )


def _checks(results: Sequence[RouteResult]) -> dict[str, str]:
    """Titles by id of the checks assessed for any route, nearest the limit first."""
    least: dict[str, float] = {}
    titles = {}
    for m in (m for r in results for m in r.margins if m.margin is not None):
        least[m.id] = min(least.get(m.id, math.inf), m.margin if m.margin is not None else math.inf)
        titles[m.id] = m.title
    return {k: titles[k] for k in sorted(titles, key=lambda k: least[k])}


def _any_negative(results: Sequence[RouteResult]) -> bool:
    return any(m.margin is not None and m.margin < 0.0 for r in results for m in r.margins)
