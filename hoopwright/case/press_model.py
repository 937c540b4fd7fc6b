"""Inputs on pressing the sleeve in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from hoopwright.geometry import Sleeve

FREEZER_K = -38.0
"""A household freezer, K above 20 °C."""


@dataclass(frozen=True)
class PressHeat:
    """Assembly by heat and cold.

    clearance_mm: diametral gap required; None for 1/1000 of the bore. shell_max_K, sleeve_cold_K:
    K above 20 °C, None where not given: then the material limits the one, and FREEZER_K stands for the
    other in a plan. heat_transfer_W_m2K: to still air, radiation included.
    """

    clearance_mm: float | None = None
    shell_max_K: float | None = None  # noqa: N815 - fields end in their unit
    sleeve_cold_K: float | None = None  # noqa: N815
    heat_transfer_W_m2K: float = 15.0  # noqa: N815


@dataclass(frozen=True)
class Pilot:
    """The part of a pusher that reaches into the sleeve's bore. diameter_mm: where it is largest;
    length_mm: of it in the bore, None where it goes right through."""

    diameter_mm: float
    length_mm: float | None = None

    def reach(self, sleeve: Sleeve) -> float:
        """How far it reaches into a sleeve, mm."""
        return sleeve.length if self.length_mm is None else min(self.length_mm, sleeve.length)


@dataclass(frozen=True)
class Press:
    """The press available, how the sleeve is put in, and what was observed.

    method: pushed in, or slipped in by heat or cold.
    temperature_rise_K: of parts and shop while pressing and tightening, K above 20 °C. capacity: greatest
    force of the press, N. gauge_unit, enters_from, friction_likely: None where the tool is to choose.
    friction_low, friction_high: while the sleeve is pushed in, None where that of the fit is meant.
    gauge_accuracy: as a share of the reading, at 95 %. calibration: how gauge and ram were checked, ""
    where they were not. restart_ratio: static over sliding friction after a
    rest. friction_scatter: standard deviation of sliding friction along the travel, as a share of it.
    observed_peak: N. log: file with the readings, relative to the case file, or "". observed_closure_mm: of
    the sleeve's bore at mid-length, diametral; closure_plus_minus_mm: at 95 %.
    pilot: None where the pusher has none.
    """

    method: Literal["push", "heat"] = "push"
    temperature_rise_K: float = 0.0  # noqa: N815 - fields end in their unit
    capacity: float | None = None
    ram_diameter_mm: float | None = None
    gauge_unit: str | None = None
    gauge_division_MPa: float | None = None  # noqa: N815
    gauge_accuracy: float = 0.016
    calibration: str = ""
    enters_from: Literal["left", "right"] | None = None
    friction_low: float | None = None
    friction_high: float | None = None
    friction_likely: float | None = None
    restart_ratio: float = 1.3
    friction_scatter: float = 0.05
    observed_peak: float | None = None
    observed_gauge_MPa: float | None = None  # noqa: N815
    log: str = ""
    observed_closure_mm: float | None = None
    closure_plus_minus_mm: float = 0.002
    heat: PressHeat = PressHeat()
    pilot: Pilot | None = None

    @property
    def has_readings(self) -> bool:
        """Whether a log, or a peak, of its pressing was read."""
        return bool(self.log) or self.observed_peak is not None or self.observed_gauge_MPa is not None

    @property
    def was_read(self) -> bool:
        """Whether anything was read as it was pressed in, a force or the closure of the bore."""
        return self.has_readings or self.observed_closure_mm is not None

    @property
    def slips_in(self) -> bool:
        """Whether the sleeve slips in by heat or cold instead of being pushed."""
        return self.method == "heat"

    @property
    def unread(self) -> Press:
        """The press before anything was read at it."""
        return replace(self, log="", observed_peak=None, observed_gauge_MPa=None, observed_closure_mm=None)

    @property
    def shell_hot_K(self) -> float:
        """Temperature at which a sleeve that slips in meets the shell, K above 20 °C: that of the bench
        where the case gives none."""
        given = self.heat.shell_max_K
        return self.temperature_rise_K if given is None else given

    @property
    def sleeve_cold_K(self) -> float:
        """The same of the sleeve."""
        given = self.heat.sleeve_cold_K
        return self.temperature_rise_K if given is None else given
