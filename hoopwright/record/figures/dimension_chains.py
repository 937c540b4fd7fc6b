"""Chain dimensioning: a row of consecutive dimensions along one surface, each with its label."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINE_HEIGHT = 3.4
"""Height of one line of text, mm on paper."""
HALF_TICK, LABEL_GAP, LEADER_RISE = 0.9, 2.5, 3.0
"""mm on paper: half an oblique stroke, smallest gap between labels, and rise of a leader."""


@dataclass(frozen=True)
class Dimension:
    """One dimension from start to end along the shell, mm, with text above and below its line."""

    start: float
    end: float
    above: str
    below: str = ""


@dataclass(frozen=True)
class DimensionChain:
    """One row of dimensions.

    title: what it measures, written to its left. surface_radius: of the surface it refers to, mm.
    """

    title: str
    dimensions: tuple[Dimension, ...]
    surface_radius: float


@dataclass(frozen=True)
class Sheet:
    """Maps z of the part to x on paper.

    left: x of z = 0, mm on paper. scale: paper mm per mm. low, high: range of x that labels may use.
    """

    left: float
    scale: float
    low: float
    high: float

    def x(self, z: float) -> float:
        return self.left + self.scale * z

    def xs(self, z: np.ndarray) -> np.ndarray:
        return self.left + self.scale * z

    def needs_leaders(self, chain: DimensionChain) -> bool:
        """Whether some label is wider than its dimension, so that all are put on leaders."""
        return len(chain.dimensions) > 1 and any(
            _width(s) + LABEL_GAP > self.scale * (s.end - s.start) for s in chain.dimensions
        )

    def label_rows(self, chain: DimensionChain) -> int:
        """Number of rows over which the labels are spread so that they do not overlap."""
        total = sum(_width(s) + LABEL_GAP for s in chain.dimensions)
        return max(1, math.ceil(total / (self.high - self.low)))

    def height(self, chain: DimensionChain) -> float:
        """Height of the whole row, mm on paper."""
        lines = 2 if any(s.below for s in chain.dimensions) else 1
        if self.needs_leaders(chain):
            return 2.2 + LEADER_RISE + LINE_HEIGHT * lines * self.label_rows(chain)
        return 2.2 + LINE_HEIGHT * lines


def _width(dimension: Dimension) -> float:
    return max(style.text_width(words, style.SMALL) for words in (dimension.above, dimension.below))


def plot_chain(axes: Axes, sheet: Sheet, chain: DimensionChain, *, bottom: float, surface: float) -> None:
    """Plot the row above y = bottom, with extension lines to y = surface; all in mm on paper."""
    lines = 2 if any(s.below for s in chain.dimensions) else 1
    needs_leaders = sheet.needs_leaders(chain)
    y = bottom + (LINE_HEIGHT if lines == 2 and not needs_leaders else 0.0) + 1.0
    for z in sorted({z for s in chain.dimensions for z in (s.start, s.end)}):
        x = sheet.x(z)
        axes.plot([x, x], [y, surface], color=style.FAINT, linewidth=0.4, zorder=0)
        axes.plot(
            [x - HALF_TICK, x + HALF_TICK], [y - HALF_TICK, y + HALF_TICK], color=style.INK, linewidth=0.7
        )
    for s in chain.dimensions:
        axes.plot([sheet.x(s.start), sheet.x(s.end)], [y, y], color=style.INK, linewidth=0.5)
    leftmost = sheet.x(chain.dimensions[0].start)
    label_rows = sheet.label_rows(chain) if needs_leaders else 1
    for level in range(label_rows):
        own = chain.dimensions[level::label_rows]
        middles = [sheet.x(0.5 * (s.start + s.end)) for s in own]
        centres = style.place_labels(
            middles, [_width(s) for s in own], low=sheet.low, high=sheet.high, gap=LABEL_GAP
        )
        leftmost = min(leftmost, centres[0] - 0.5 * _width(own[0]))
        for s, middle, centre in zip(own, middles, centres, strict=True):
            if needs_leaders:
                _label_on_leader(
                    axes, s, y, middle=middle, centre=centre, up=LEADER_RISE + level * lines * LINE_HEIGHT
                )
            else:
                _label_in_place(axes, s, y, centre)
    axes.text(
        leftmost - 2.5, y, chain.title, ha="right", va="center", fontsize=style.SMALL, color=style.QUIET
    )


LABEL_BACKGROUND = {"facecolor": "white", "edgecolor": "none", "pad": 0.4}


def _label_in_place(axes: Axes, s: Dimension, y: float, x: float) -> None:
    axes.text(x, y + 0.8, s.above, ha="center", va="bottom", fontsize=style.SMALL, bbox=LABEL_BACKGROUND)
    if s.below:
        axes.text(x, y - 0.8, s.below, ha="center", va="top", fontsize=style.SMALL, bbox=LABEL_BACKGROUND)


def _label_on_leader(
    axes: Axes, s: Dimension, y: float, *, middle: float, centre: float, up: float
) -> None:
    axes.plot([middle, centre], [y, y + up], color=style.INK, linewidth=0.4)
    words = f"{s.above}\n{s.below}" if s.below else s.above
    axes.text(
        centre,
        y + up,
        words,
        ha="center",
        va="bottom",
        fontsize=style.SMALL,
        linespacing=1.15,
        bbox=LABEL_BACKGROUND,
    )
