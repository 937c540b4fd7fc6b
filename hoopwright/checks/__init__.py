"""The checks: one file per way to fail. A check takes Evidence and returns a row, its Margin with a cell
for every stage; to add one, write its file, add it to CHECKS and its stages to STAGES_OF. Rows that other
distributions bring stand in `hoopwright.rows`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from hoopwright.checks.beside_clamp import beside_clamp_said
from hoopwright.checks.bore_closure import bore_closure
from hoopwright.checks.buckling import sleeve_buckles
from hoopwright.checks.damage_removed import damage_removed
from hoopwright.checks.drops_in import drops_in
from hoopwright.checks.ends_crush import ends_crush
from hoopwright.checks.evidence import Evidence, evidence_at, evidence_of
from hoopwright.checks.fatigue import (
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
)
from hoopwright.checks.holding import pushed_out, slips_combined, turned
from hoopwright.checks.joint_opens import joint_opens
from hoopwright.checks.joint_slips import joint_slips
from hoopwright.checks.margin import STAGES, Location, Margin, Stage, doubted, worst_first
from hoopwright.checks.past_yield import doubtful_past_yield
from hoopwright.checks.press_force import press_force
from hoopwright.checks.pulled_out import doubtful_if_pulled_out
from hoopwright.checks.stays_tight import stays_tight
from hoopwright.checks.stop_yields import stop_yields
from hoopwright.checks.thread_fits import thread_fits
from hoopwright.checks.thread_strips import cup_thread_strips, sleeve_thread_strips
from hoopwright.checks.wall_left import wall_left
from hoopwright.checks.yields import shell_yields, sleeve_yields

Progress = Callable[[str, int, int], None]
"""Called before each row is judged: its id, how many are done, and of how many."""


def no_progress(row: str, done: int, of: int) -> None:
    """Progress that nobody follows."""


CHECKS: tuple[Callable[[Evidence], Margin], ...] = (
    shell_yields,
    sleeve_yields,
    sleeve_buckles,
    ends_crush,
    stop_yields,
    press_force,
    drops_in,
    wall_left,
    damage_removed,
    bore_closure,
    thread_fits,
    stays_tight,
    pushed_out,
    turned,
    slips_combined,
    joint_opens,
    joint_slips,
    shell_fatigue_sines,
    shell_fatigue_walker,
    sleeve_fatigue_sines,
    sleeve_fatigue_walker,
    sleeve_thread_strips,
    cup_thread_strips,
)


STAGES_OF: dict[str, tuple[Stage, ...]] = {
    "shell_yields": STAGES,
    "sleeve_yields": STAGES,
    "sleeve_buckles": STAGES,
    "ends_crush": ("entering",),
    "stop_yields": ("pressed", "cups", "in use"),
    "press_force": ("entering",),
    "drops_in": ("entering",),
    "wall_left": ("pressed",),
    "damage_removed": ("pressed",),
    "bore_closure": ("entering", "pressed"),
    "thread_fits": ("pressed", "cups"),
    "stays_tight": ("pressed", "cups", "in use", "oven"),
    "pushed_out": ("pressed", "cups", "in use"),
    "turned": ("pressed", "cups", "in use"),
    "slips_combined": ("pressed", "cups", "in use"),
    "joint_opens": ("pressed", "cups", "in use"),
    "joint_slips": ("in use",),
    "shell_fatigue_sines": ("in use",),
    "shell_fatigue_walker": ("in use",),
    "sleeve_fatigue_sines": ("in use",),
    "sleeve_fatigue_walker": ("in use",),
    "sleeve_thread_strips": ("cups", "in use"),
    "cup_thread_strips": ("cups", "in use"),
    "shell_thread_strips": ("cups",),
}
"""The stages in which a joint can fail in each way, by id of the row; the last is of routes without a
sleeve."""


def judged(
    evidence: Evidence,
    checks: Sequence[Callable[[Evidence], Margin]] = CHECKS,
    progress: Progress = no_progress,
) -> tuple[Margin, ...]:
    """The row of every check that applies to the case, in their order, in doubt where it rests on a fit
    past yield or on a cup that draws the sleeve out."""
    rows = tuple(row for check in _reported(checks, progress) if (row := check(evidence)).applies)
    return doubtful_past_yield(doubtful_if_pulled_out(evidence, beside_clamp_said(evidence.case, rows)))


def _reported(
    checks: Sequence[Callable[[Evidence], Margin]], progress: Progress
) -> Iterator[Callable[[Evidence], Margin]]:
    """Every check, reported before it is run."""
    for done, check in enumerate(checks):
        progress(check.__name__, done, len(checks))
        yield check


__all__ = [
    "CHECKS",
    "STAGES",
    "STAGES_OF",
    "Evidence",
    "Location",
    "Margin",
    "Progress",
    "Stage",
    "doubted",
    "evidence_at",
    "evidence_of",
    "judged",
    "no_progress",
    "worst_first",
]
