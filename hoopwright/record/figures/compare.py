"""Margins of two or more routes side by side, by check."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from hoopwright.checks import Margin
from hoopwright.display import Units, flagged_margin, state_text
from hoopwright.record.figures import style
from hoopwright.record.figures.margin_bars import MAX_BAR, MIN_BAR, ROUTE_STYLES, clipped, label_bar
from hoopwright.sizing.routes import RouteResult

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROW_HEIGHT = 3.6
"""Height of one bar, mm on paper."""
GAP = 3.0
"""Between a bar and its label, points."""
LEGEND_DROP = 11.0
"""From the axis down to the legend, mm on paper: room for the ticks and the label of the axis."""


TITLES = ("Margins by check", "Not comparable: judged on fewer ways to fail than the others")


def figure(
    results: Sequence[RouteResult],
    units: Units,  # noqa: ARG001 - margins have no unit
    *,
    max_bars: int | None = None,
) -> Figure:
    """One axes for the routes that can be compared, and one below for those that stand apart. max_bars: of
    a figure that has to fit on a page; then each has the checks that come nearest their limits."""
    groups = [
        (title, [(k, r) for k, r in enumerate(results) if r.comparable is comparable])
        for title, comparable in zip(TITLES, (True, False), strict=True)
    ]
    groups = [(title, group) for title, group in groups if _checks([r for _, r in group])] or groups[:1]
    rows = _rows_that_fit([group for _, group in groups], max_bars)
    heights = [_height(group, count) for (_, group), count in zip(groups, rows, strict=True)]
    with style.plot_style():
        made = style.new_figure(height=sum(heights))
        every = made.subplots(len(groups), squeeze=False, height_ratios=heights)[:, 0]
        for (title, group), count, axes in zip(groups, rows, every, strict=True):
            plot_comparison(group, axes, title=title, rows=count)
        return style.lay_out(made)


def _rows_that_fit(groups: Sequence[Sequence[tuple[int, RouteResult]]], max_bars: int | None) -> list[int]:
    """How many checks of each group are plotted, at least one: all of them, or as many as there is room
    for, left out first where there are most."""
    rows = [len(_checks([r for _, r in group])) for group in groups]
    while max_bars is not None and max(rows) > 1:
        if sum(count * (len(group) + 1) for count, group in zip(rows, groups, strict=True)) <= max_bars:
            break
        rows[rows.index(max(rows))] -= 1
    return rows


def _height(group: Sequence[tuple[int, RouteResult]], rows: int) -> float:
    return 34.0 + ROW_HEIGHT * (rows * (len(group) + 0.8))


def plot_comparison(
    group: Sequence[tuple[int, RouteResult]], axes: Axes, *, title: str, rows: int | None = None
) -> Axes:
    """Plot a group of bars per check with one bar per route. Every bar has the number of its route beside
    it and a hatch of its own; text marks what fails or is undecided. group: routes, each with its place in
    the comparison. rows: how many checks, nearest their limits first; None for all."""
    results = [r for _, r in group]
    every = _checks(results)
    checks = dict(list(every.items())[:rows])
    if len(checks) < len(every):
        title = f"{title}, the {len(checks)} of {len(every)} nearest their limits"
    share = 0.82 / max(len(results), 1)
    for k, (place, result) in enumerate(group):
        margins = {m.id: m for m in result.margins if m.margin is not None}
        for row, identity in enumerate(checks):
            y, found = row - 0.41 + (k + 0.5) * share, margins.get(identity)
            bars = axes.barh(
                y,
                clipped(found.margin if found else None),
                height=0.9 * share,
                linewidth=0.5,
                **ROUTE_STYLES[place % len(ROUTE_STYLES)],
            )
            if row == 0:
                bars.set_label(f"{place + 1}  {result.route.name}")
            _label(axes, y, found, place + 1, applies=any(m.id == identity for m in result.margins))
    axes.axvline(0.0, color=style.INK, linewidth=1.2)
    axes.set_xlim(MIN_BAR - 0.05 if _any_negative(results) else -0.05, MAX_BAR + 0.45)
    axes.set_ylim(len(checks) - 0.4, -0.6)
    axes.set_yticks(range(len(checks)), list(checks.values()))
    axes.tick_params(axis="y", length=0.0)
    axes.grid(axis="x")
    axes.set_xlabel(f"margin of safety; zero is the limit; bars end at {MAX_BAR:+g}")
    axes.set_title(title)
    _legend_below(axes, columns=1 if len(results) > 2 else 2)
    return axes


def _legend_below(axes: Axes, *, columns: int) -> None:
    """Put the legend at one distance on paper below the axes, however tall these are."""
    from matplotlib.transforms import ScaledTranslation

    down = ScaledTranslation(0.0, -LEGEND_DROP * style.MM, axes.figure.dpi_scale_trans)
    axes.legend(
        loc="upper center",
        bbox_to_anchor=(0.4, 0.0),
        bbox_transform=axes.transAxes + down,
        ncols=columns,
    )


def _label(axes: Axes, y: float, found: Margin | None, number: int, *, applies: bool) -> None:
    """The number of the route, and its margin or why there is none."""
    if found is None:
        text = state_text("not assessed") if applies else "does not apply"
        label_bar(axes, 0.0, y, f"{number}: {text}", gap=GAP, judged=False)
    else:
        text = flagged_margin(found.margin, found.state)
        label_bar(axes, clipped(found.margin), y, f"{number}: {text}", gap=GAP, bold=found.state != "holds")


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
