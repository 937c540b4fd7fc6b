"""Figures of the record, one module each: one function fills axes, `figure` makes the whole figure."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import (
    drawing,
    harmonics,
    interface_map,
    loading,
    margins,
    pressure,
    section,
    unrolled,
    wall,
)
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
"""By file name without extension, in the order of the record."""

SERVICE_FIGURES: dict[str, Callable[[Results, Units], Figure]] = {
    "loading": loading.figure,
    "unrolled": unrolled.figure,
    "interface": interface_map.figure,
    "harmonics": harmonics.figure,
}
"""Additional figures of a case with service loads."""


def figures_of(results: Results) -> dict[str, Callable[[Results, Units], Figure]]:
    """The figures that apply to these results."""
    service = results.study.service
    return FIGURES | SERVICE_FIGURES if service is not None and service.cases else FIGURES


__all__ = ["FIGURES", "SERVICE_FIGURES", "figures_of", "rendered"]
