"""The working of every row: how its margin follows from the inputs."""

from __future__ import annotations

from collections.abc import Callable

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.working.fatigue import (
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)
from hoopwright.working.pressing import bore_closure, ends_crush, press_force, sleeve_buckles
from hoopwright.working.seat import (
    joint_opens,
    joint_slips,
    pushed_out,
    slips_combined,
    stays_tight,
    turned,
)
from hoopwright.working.sheet import ByHand, Line, Sheet, Working, evaluate, symbols_of
from hoopwright.working.sizes import damage_removed, drops_in, wall_left
from hoopwright.working.stop import stop_yields
from hoopwright.working.stress import shell_yields, sleeve_yields
from hoopwright.working.threads import cup_thread_strips, sleeve_thread_strips, thread_fits

WORKINGS: dict[str, Callable[[Evidence, Margin], Working]] = {
    "shell_yields": shell_yields,
    "sleeve_yields": sleeve_yields,
    "thread_fits": thread_fits,
    "shell_fatigue_sines": shell_fatigue_sines,
    "shell_fatigue_walker": shell_fatigue_walker,
    "sleeve_fatigue_sines": sleeve_fatigue_sines,
    "sleeve_fatigue_walker": sleeve_fatigue_walker,
    "wall_left": wall_left,
    "damage_removed": damage_removed,
    "drops_in": drops_in,
    "sleeve_buckles": sleeve_buckles,
    "ends_crush": ends_crush,
    "stop_yields": stop_yields,
    "press_force": press_force,
    "bore_closure": bore_closure,
    "stays_tight": stays_tight,
    "pushed_out": pushed_out,
    "turned": turned,
    "slips_combined": slips_combined,
    "joint_opens": joint_opens,
    "joint_slips": joint_slips,
    "sleeve_thread_strips": sleeve_thread_strips,
    "cup_thread_strips": cup_thread_strips,
}
"""How the margin of a row is worked out, by its id."""

__all__ = ["WORKINGS", "ByHand", "Line", "Sheet", "Working", "evaluate", "symbols_of"]
