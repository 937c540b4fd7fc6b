"""Rows of the force–travel curve at even travels, the gauge in whole divisions."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from hoopwright.display.gauge import Gauge

STEP_MM = {"metric": 5.0, "inch": 0.25 * 25.4}
"""Travel from row to row, as a rule beside the ram is marked: 5 mm or a quarter of an inch."""
MAX_ROWS = 60
CLOSE = 0.1
"""Share of a step within which the row at home stands for the one before it."""
NOTHING_N = 0.5
"""Force that is shown as zero."""
KEYS = ("bearing_mm", "least_N", "likely_N", "stop_N", "closed_form_N")


def table_part(positions: list[dict[str, Any]], gauge: Gauge | None) -> dict[str, Any]:
    """The table for either reader, between the positions solved on a straight line; no row where nothing
    bears. gauge: None where the ram is not known."""
    travel = np.array([p["travel_mm"] for p in positions])

    def row(at: float) -> dict[str, Any]:
        def there(key: str) -> float:
            return float(np.interp(at, travel, [p[key] for p in positions]))

        shown = {"travel_mm": at, **{key: there(key) for key in KEYS}}
        if gauge is None:
            return shown
        least, likely, stop = (there(f"gauge_{line}_MPa") for line in ("least", "likely", "stop"))
        return shown | {
            "gauge_least_MPa": gauge.nearest(least),
            "gauge_likely_MPa": gauge.nearest(likely),
            "gauge_stop_MPa": gauge.below(stop),
            "gauge_too_coarse": gauge.too_coarse(stop=stop, likely=likely),
        }

    return {
        system: [found for found in map(row, _travels(float(travel[-1]), step)) if _bears(found)]
        for system, step in STEP_MM.items()
    }


def _bears(row: dict[str, Any]) -> bool:
    return bool(row["stop_N"] >= NOTHING_N)


def _travels(home: float, step: float) -> list[float]:
    """Even travels, and home, mm."""
    while home / step > MAX_ROWS:
        step *= 2.0
    even = (k * step for k in range(1, math.ceil(home / step)))
    return [*(travel for travel in even if home - travel > CLOSE * step), home]
