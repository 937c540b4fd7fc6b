"""Rows of the force–travel table at the marks of a rule, the gauge in whole divisions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from hoopwright.display.gauge import Gauge
from hoopwright.pressing.rule_marks import STEP_MM, AtMark, marks

NOTHING_N = 0.5
"""Force that is shown as zero."""


def table_part(
    home: float,
    solved: Mapping[float, AtMark],
    gauge: Gauge | None,
    gauge_pressure: Callable[[float], float],
) -> dict[str, Any]:
    """The table for either reader; no row where nothing bears.

    home: the whole travel, mm. solved: by travel. gauge: None where the ram is not known. gauge_pressure:
    MPa of a force in N, asked only of a known ram.
    """

    def row(at: AtMark) -> dict[str, Any]:
        shown = {
            "travel_mm": at.travel,
            "bearing_mm": at.engaged,
            "least_N": at.least,
            "likely_N": at.likely,
            "stop_N": at.stop,
            "closed_form_N": at.closed_form,
        }
        if gauge is None:
            return shown
        least, likely, stop = map(gauge_pressure, (at.least, at.likely, at.stop))
        return shown | {
            "gauge_least_MPa": gauge.nearest(least),
            "gauge_likely_MPa": gauge.nearest(likely),
            "gauge_stop_MPa": gauge.below(stop),
            "gauge_too_coarse": gauge.too_coarse(stop=stop, likely=likely),
        }

    return {
        system: [
            row(solved[travel])
            for travel in marks(home, system)
            if travel in solved and solved[travel].stop >= NOTHING_N
        ]
        for system in STEP_MM
    }
