"""Margins as bars from zero, the limit; worst on top."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from hoopwright.checks import Margin
from hoopwright.display import Units, margin_text, state_cell
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.margin_bars import MAX_BAR, STATE_STYLES, clipped, label_bar

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROW_HEIGHT = 6.0
"""Height of one row, mm on paper."""
GAP = 7.0
"""Between a bar and its label, points."""
MIN_WHISKER = 5e-3
"""Shorter whiskers are left out: they would only blot."""


def figure(results: Results, units: Units) -> Figure:  # noqa: ARG001 - the shape of all figures
    return figure_of_rows(results.margins)


def figure_of_rows(rows: Sequence[Margin]) -> Figure:
    with style.plot_style():
        made = style.new_figure(height=18.0 + ROW_HEIGHT * max(len(rows), 2))
        plot_rows(rows, made.add_subplot())
        return style.lay_out(made)


def plot_rows(rows: Sequence[Margin], axes: Axes) -> Axes:
    """Plot one bar per check, as long as its margin; whisker: numerical error, hatch and word: state."""
    for y, margin in enumerate(rows):
        if margin.margin is None:
            label_bar(axes, 0.0, y, state_cell(margin.state), gap=GAP, judged=False)
        else:
            _bar(axes, y, margin)
    shown = [clipped(m.margin) for m in rows if m.margin is not None]
    low, high = min([0.0, *shown]), max([0.5, *shown])
    axes.set_xlim(
        low - 0.02 * (high - low) if low == 0.0 else low - 0.08 * (high - low), high + 0.24 * (high - low)
    )
    axes.set_ylim(len(rows) - 0.4, -0.6)
    axes.set_yticks(range(len(rows)), [m.title for m in rows])
    axes.tick_params(axis="y", length=0.0, labelsize=style.NORMAL)
    axes.axvline(0.0, color=style.INK, linewidth=1.2)
    axes.grid(axis="x")
    axes.spines["left"].set_visible(False)
    axes.set_xlabel(
        "margin = capacity / (factor × demand) − 1, zero is the limit; whisker: numerical error",
        fontsize=style.SMALL,
    )
    axes.set_xticks([t for t in axes.get_xticks() if low <= t <= MAX_BAR])
    axes.set_title("Margins")
    return axes


def _bar(axes: Axes, y: int, margin: Margin) -> None:
    value, error = margin.margin, margin.numerical_error
    assert value is not None
    assert error is not None
    end = clipped(value)
    axes.barh(y, end, height=0.62, linewidth=0.7, **STATE_STYLES[margin.state])
    if value > MAX_BAR:
        axes.plot([end], [y], marker=5, markersize=7.0, color=style.DARK, clip_on=False)
        error = 0.0
    if error > MIN_WHISKER:
        axes.errorbar(end, y, xerr=error, color=style.INK, capsize=2.0, linewidth=0.9)
    label_bar(
        axes,
        end + error,
        y,
        f"{margin_text(value)}  {state_cell(margin.state)}",
        gap=GAP,
        bold=margin.state != "holds",
    )
