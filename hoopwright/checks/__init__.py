"""The checks: one file per way to fail. A check takes Evidence and returns a Margin; to add one, write its
file and add it to CHECKS."""

from __future__ import annotations

from collections.abc import Callable

from hoopwright.checks.bore_closure import bore_closure
from hoopwright.checks.buckling import sleeve_buckles
from hoopwright.checks.evidence import Evidence, evidence_of
from hoopwright.checks.fatigue import (
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)
from hoopwright.checks.holding import pushed_out, slips_combined, turned
from hoopwright.checks.joint_micro_slips import joint_micro_slips
from hoopwright.checks.joint_opens import joint_opens
from hoopwright.checks.margin import Location, Margin, worst_first
from hoopwright.checks.preload_yield import shell_yields_clamped, sleeve_yields_clamped
from hoopwright.checks.press_in_force import press_in
from hoopwright.checks.pressed_yield import shell_yields, sleeve_yields
from hoopwright.checks.service_yield import shell_yields_in_service, sleeve_yields_in_service
from hoopwright.checks.temperature import loosens, oven_opens, yields_warm
from hoopwright.checks.thin_side import thin_side_yields
from hoopwright.checks.thread_fits import thread_fits
from hoopwright.checks.thread_strips import cup_thread_strips, sleeve_thread_strips
from hoopwright.checks.wall_left import wall_left

CHECKS: tuple[Callable[[Evidence], Margin], ...] = (
    shell_yields,
    sleeve_yields,
    wall_left,
    bore_closure,
    pushed_out,
    turned,
    slips_combined,
    press_in,
    sleeve_buckles,
    sleeve_yields_clamped,
    shell_yields_clamped,
    sleeve_thread_strips,
    cup_thread_strips,
    thread_fits,
    loosens,
    yields_warm,
    oven_opens,
    thin_side_yields,
    shell_yields_in_service,
    sleeve_yields_in_service,
    joint_opens,
    joint_micro_slips,
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)


def judged(evidence: Evidence) -> tuple[Margin, ...]:
    """The margin of every check that applies to the case, in the order of CHECKS."""
    return tuple(margin for check in CHECKS if (margin := check(evidence)).applies)


__all__ = ["CHECKS", "Evidence", "Location", "Margin", "evidence_of", "judged", "worst_first"]
