"""One file per way to fail. A check takes Evidence and returns a Margin; to add one, write its file
and add it to CHECKS."""

from __future__ import annotations

from collections.abc import Callable

from hoopwright.checks.bore_closure import bore_closure
from hoopwright.checks.evidence import Evidence, evidence_of
from hoopwright.checks.holding import pushed_out, turned
from hoopwright.checks.margin import Margin, Where, worst_first
from hoopwright.checks.pressed_yield import shell_yields, sleeve_yields
from hoopwright.checks.pressing import press_in
from hoopwright.checks.wall_left import wall_left

CHECKS: tuple[Callable[[Evidence], Margin], ...] = (
    shell_yields, sleeve_yields, wall_left, bore_closure, pushed_out, turned, press_in,
)

__all__ = ["CHECKS", "Evidence", "Margin", "Where", "evidence_of", "worst_first"]
