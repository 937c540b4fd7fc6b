"""Rows of dimensions: the stretches of one surface in a chain, each with its words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINE = 3.4
"""mm of paper for one line of words."""
TICK, GAP, LEADER = 0.9, 2.5, 3.0
"""mm of paper: half an oblique stroke, least room between two labels, and the rise of a leader."""


@dataclass(frozen=True)
class Stretch:
    """From start to end along the shell, mm; words above the dimension line and below it."""

    start: float
    end: float
    above: str
    below: str = ""


@dataclass(frozen=True)
class Chain:
    """One row. title: what it measures, written left of it. touches: radius of its surface, mm."""

    title: str
    stretches: tuple[Stretch, ...]
    touches: float


@dataclass(frozen=True)
class Sheet:
    """Paper, mm: z of the part to x by `x`. low, high: where labels may stand."""

    left: float
    scale: float
    low: float
    high: float

    def x(self, z: float) -> float:
        return self.left + self.scale * z

    def xs(self, z: np.ndarray) -> np.ndarray:
        return self.left + self.scale * z

    def crowded(self, chain: Chain) -> bool:
        """Whether a label does not fit over its own stretch: then all stand off, on leaders."""
        return len(chain.stretches) > 1 and any(
            _width(s) + GAP > self.scale * (s.end - s.start) for s in chain.stretches)

    def levels(self, chain: Chain) -> int:
        """Rows of labels needed for them not to overlap."""
        total = sum(_width(s) + GAP for s in chain.stretches)
        return max(1, math.ceil(total / (self.high - self.low)))

    def height(self, chain: Chain) -> float:
        """mm of paper that the row takes."""
        lines = 2 if any(s.below for s in chain.stretches) else 1
        if self.crowded(chain):
            return 2.2 + LEADER + LINE * lines * self.levels(chain)
        return 2.2 + LINE * lines


def _width(stretch: Stretch) -> float:
    return max(style.text_width(words, style.SMALL) for words in (stretch.above, stretch.below))


def draw_chain(axes: Axes, sheet: Sheet, chain: Chain, *, bottom: float, surface: float) -> None:
    """The row above `bottom`, with extension lines to y = surface; all in mm of paper."""
    lines = 2 if any(s.below for s in chain.stretches) else 1
    crowded = sheet.crowded(chain)
    y = bottom + (LINE if lines == 2 and not crowded else 0.0) + 1.0
    for z in sorted({z for s in chain.stretches for z in (s.start, s.end)}):
        x = sheet.x(z)
        axes.plot([x, x], [y, surface], color=style.FAINT, linewidth=0.4, zorder=0)
        axes.plot([x - TICK, x + TICK], [y - TICK, y + TICK], color=style.INK, linewidth=0.7)
    for s in chain.stretches:
        axes.plot([sheet.x(s.start), sheet.x(s.end)], [y, y], color=style.INK, linewidth=0.5)
    leftmost = sheet.x(chain.stretches[0].start)
    levels = sheet.levels(chain) if crowded else 1
    for level in range(levels):
        own = chain.stretches[level::levels]
        middles = [sheet.x(0.5 * (s.start + s.end)) for s in own]
        centres = style.spread(middles, [_width(s) for s in own], low=sheet.low, high=sheet.high, gap=GAP)
        leftmost = min(leftmost, centres[0] - 0.5 * _width(own[0]))
        for s, middle, centre in zip(own, middles, centres, strict=True):
            if crowded:
                _stood_off(axes, s, y, middle=middle, centre=centre, up=LEADER + level * lines * LINE)
            else:
                _beside(axes, s, y, centre)
    axes.text(leftmost - 2.5, y, chain.title, ha="right", va="center", fontsize=style.SMALL,
              color=style.QUIET)


BACK = {"facecolor": "white", "edgecolor": "none", "pad": 0.4}


def _beside(axes: Axes, s: Stretch, y: float, x: float) -> None:
    axes.text(x, y + 0.8, s.above, ha="center", va="bottom", fontsize=style.SMALL, bbox=BACK)
    if s.below:
        axes.text(x, y - 0.8, s.below, ha="center", va="top", fontsize=style.SMALL, bbox=BACK)


def _stood_off(axes: Axes, s: Stretch, y: float, *, middle: float, centre: float, up: float) -> None:
    axes.plot([middle, centre], [y, y + up], color=style.INK, linewidth=0.4)
    words = f"{s.above}\n{s.below}" if s.below else s.above
    axes.text(centre, y + up, words, ha="center", va="bottom", fontsize=style.SMALL,
              linespacing=1.15, bbox=BACK)
