"""What a case says about pressing the sleeve in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class PressHeat:
    """Assembly by heat and cold. clearance_mm: diametral gap wanted; None: 1/1000 of the bore.

    shell_most_K, sleeve_cold_K: above 20 °C; shell_most_K None where only the material limits it.
    """

    clearance_mm: float | None = None
    shell_most_K: float | None = None  # noqa: N815 - fields end in their unit
    sleeve_cold_K: float = -38.0  # noqa: N815
    heat_transfer_W_m2K: float = 15.0  # noqa: N815


@dataclass(frozen=True)
class Press:
    """The press at hand, how the sleeve goes in, and what was read.

    capacity: the most it may push, N. gauge_unit, enters_from, friction_likely: None where the tool
    is to choose. gauge_accuracy: share of the reading, 95 %. release_ratio: friction at breaking loose
    over sliding friction. friction_scatter: standard deviation of sliding friction along the way, as a
    share of it. observed_peak: N. log: file with the readings, relative to the case file, or "".
    observed_closure_mm: of the sleeve's bore at mid-sleeve, diametral; closure_plus_minus_mm: at 95 %.
    """

    capacity: float | None = None
    ram_diameter_mm: float | None = None
    gauge_unit: str | None = None
    gauge_division_MPa: float | None = None  # noqa: N815
    gauge_accuracy: float = 0.016
    enters_from: Literal["left", "right"] | None = None
    friction_likely: float | None = None
    release_ratio: float = 1.3
    friction_scatter: float = 0.05
    observed_peak: float | None = None
    observed_gauge_MPa: float | None = None  # noqa: N815
    log: str = ""
    observed_closure_mm: float | None = None
    closure_plus_minus_mm: float = 0.002
    heat: PressHeat = PressHeat()
