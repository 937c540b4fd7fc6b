"""The drawing as one page of PDF; equal drawings give equal bytes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from hoopwright.drawing.dimension_marks import ARROW, ARROW_HALF
from hoopwright.drawing.marks import (
    CAPITAL_SHARE,
    DASHES,
    LINE_WIDTHS,
    POINT,
    Arrow,
    DimensionMark,
    Hatch,
    Label,
    Line,
    Mark,
    Sheet,
)
from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLOURS = {"ink": "black", "quiet": "#555555", "stamp": "#cccccc"}
HATCH = "////"
BEHIND, FACE, INK = 0, 1, 2


def as_pdf(sheet: Sheet) -> bytes:
    return style.rendered(figure(sheet), "pdf")


def figure(sheet: Sheet) -> Figure:
    """The sheet at its own size."""
    with style.plot_style():
        made = style.new_figure(width=sheet.width, height=sheet.height, constrained=False)
        axes = made.add_axes((0.0, 0.0, 1.0, 1.0))
        axes.set_xlim(0.0, sheet.width)
        axes.set_ylim(0.0, sheet.height)
        axes.axis("off")
        _plot(axes, (*sheet.sheet, *sheet.views))
    return made


def _plot(axes: Axes, marks: Iterable[Mark]) -> None:
    for mark in marks:
        if isinstance(mark, DimensionMark):
            _plot(axes, mark.marks)
        elif isinstance(mark, Line):
            _plot_line(axes, mark)
        elif isinstance(mark, Arrow):
            axes.fill(*zip(*arrowhead(mark), strict=True), color="black", linewidth=0.0, zorder=INK)
        elif isinstance(mark, Hatch):
            hatch = HATCH if mark.rising else HATCH.replace("/", "\\")
            axes.fill(
                *zip(*mark.outline, strict=True),
                facecolor="none",
                edgecolor="black",
                hatch=hatch,
                linewidth=0.0,
                zorder=FACE,
            )
        else:
            _plot_label(axes, mark)


def _plot_line(axes: Axes, mark: Line) -> None:
    width = LINE_WIDTHS[mark.style] / POINT
    pattern = DASHES.get(mark.style)
    dashes = "-" if pattern is None else (0.0, tuple(d / POINT / width for d in pattern))
    x, y = zip(*mark.points, strict=True)
    axes.plot(x, y, color="black", linewidth=width, linestyle=dashes, solid_capstyle="round", zorder=INK)


def _plot_label(axes: Axes, mark: Label) -> None:
    stamped = mark.tone == "stamp"
    axes.text(
        *mark.at,
        mark.text,
        fontsize=mark.height / CAPITAL_SHARE / POINT,
        fontweight="bold" if mark.bold else "normal",
        color=COLOURS[mark.tone],
        ha={"centre": "center"}.get(mark.align, mark.align),
        va="center" if stamped else "baseline",
        rotation=mark.turned,
        rotation_mode="anchor",
        zorder=BEHIND if stamped else INK,
    )


def arrowhead(mark: Arrow) -> tuple[tuple[float, float], ...]:
    """The three corners of an arrowhead, its tip first."""
    (x, y), dx, dy = mark.tip, mark.dx, mark.dy
    base = x - ARROW * dx, y - ARROW * dy
    return (
        (x, y),
        (base[0] - ARROW_HALF * dy, base[1] + ARROW_HALF * dx),
        (base[0] + ARROW_HALF * dy, base[1] - ARROW_HALF * dx),
    )
