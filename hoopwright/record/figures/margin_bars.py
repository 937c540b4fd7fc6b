"""What the figures of margins share: how far a bar reaches, its style and its label."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MAX_BAR = 2.0
"""Bars are clipped here; the number beside each is not."""
MIN_BAR = -1.0
"""Lower bound of any margin, reached with infinite demand."""
STATE_STYLES: dict[str, dict[str, Any]] = {
    "holds": {"facecolor": style.LIGHT, "edgecolor": style.DARK, "hatch": None},
    "fails": {"facecolor": "#e8a47f", "edgecolor": style.INK, "hatch": "////"},
    "unresolved": {"facecolor": "white", "edgecolor": style.INK, "hatch": "xxx"},
}
"""Bars of one repair, by the state of the row."""
ROUTE_STYLES: tuple[dict[str, Any], ...] = (
    {"facecolor": style.DARK, "edgecolor": style.INK, "hatch": None},
    {"facecolor": style.LIGHT, "edgecolor": style.INK, "hatch": "////"},
    {"facecolor": "white", "edgecolor": style.INK, "hatch": "...."},
    {"facecolor": style.MIDDLE, "edgecolor": style.INK, "hatch": "\\\\\\\\"},
    {"facecolor": style.SHELL, "edgecolor": style.INK, "hatch": "||||"},
    {"facecolor": style.FAINT, "edgecolor": style.INK, "hatch": "xxxx"},
)
"""Bars of several routes, by their place in the comparison; used again from the first where more."""


def clipped(margin: float | None) -> float:
    """End of the bar of a margin; 0 without one."""
    return 0.0 if margin is None else min(max(margin, MIN_BAR), MAX_BAR)


def label_bar(
    axes: Axes, end: float, y: float, text: str, *, gap: float, judged: bool = True, bold: bool = False
) -> None:
    """Write the text right of a bar, or right of zero where the bar points left; faint where not judged.

    end: of the bar or its whisker, in units of the axis; gap: points.
    """
    axes.annotate(
        text,
        (max(end, 0.0), y),
        xytext=(gap, 0.0),
        textcoords="offset points",
        va="center",
        fontsize=style.SMALL,
        color=style.INK if judged else style.QUIET,
        fontweight="bold" if bold else "normal",
    )
