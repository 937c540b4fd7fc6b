"""Figures of the record: one file each, a function from results to axes and one to a whole figure."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import drawing, margins, pressure, section, wall
from hoopwright.record.figures.style import rendered

if TYPE_CHECKING:
    from matplotlib.figure import Figure

FIGURES: dict[str, Callable[[Results, Units], Figure]] = {
    "drawing": drawing.figure,
    "section": section.figure,
    "pressure": pressure.figure,
    "wall": wall.figure,
    "margins": margins.figure,
}
"""By file name without its ending, in the order of the record."""

__all__ = ["FIGURES", "rendered"]
