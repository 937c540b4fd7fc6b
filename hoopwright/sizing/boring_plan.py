"""Boring plan: the clean-up diameter, the wall it leaves, and the passes to reach it.

clean-up = damage diameter + runout      (total indicator reading is twice the eccentricity, and a
                                          bore off centre by e must be 2e larger to clean up all)
wall     = (outside − bore − runout)/2   (on the thin side)
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from hoopwright.case.model import Case
from hoopwright.checks.damage_removed import bored_lands
from hoopwright.sizing.finished import bore_is_cut

ADVICE = (
    "Advice only: machine, tool and machinist decide.",
    "A thin shell distorts in a chuck: hold it by its faces or in a split, bored ring over its whole "
    "length, no tighter than needed, and measure it again once released.",
    "Let it cool to shop temperature before the measuring stop, and take the last pass in the same setting "
    "as the one before.",
)
TOLERANCE = 1e-9


@dataclass(frozen=True)
class Pass:
    """One boring pass. diameter: after the pass, mm; cut: depth per side, mm; measure: stop and measure
    after it."""

    diameter: float
    cut: float
    measure: bool = False


@dataclass(frozen=True)
class BoringPlan:
    """Bore, wall and passes.

    clean_up: least diameter that removes the damage, mm. target: bore of the case (its largest land), or
    the clean-up size where that is larger, mm. wall: left on the thin side at the target, mm;
    clean_up_wall: the same at the clean-up size. cleans_up: whether the bore of the case removes the
    damage. least_wall: the user's limit, mm, or None. lands: bores the case plans, mm.
    """

    clean_up: float
    target: float
    wall: float
    clean_up_wall: float
    cleans_up: bool
    passes: tuple[Pass, ...]
    least_wall: float | None
    lands: tuple[float, ...] = ()

    @property
    def wall_holds(self) -> bool | None:
        """Whether the wall at the target meets the user's limit; None without a limit."""
        return None if self.least_wall is None else self.wall >= self.least_wall


def boring_plan(case: Case) -> BoringPlan | None:
    """The boring plan of a case; None where it has no [boring], or where the bore is cut and clean.

    A bore that is cut and not clean is bored on from what there is.
    """
    job = case.boring
    if job is None:
        return None
    least = min(b.least_diameter for b in bored_lands(case, job))
    cut = bore_is_cut(case)
    planned = max(b.greatest_diameter for b in case.shell.bore)
    outside = min(b.least_diameter for b in case.shell.outside)
    clean_up = job.damage_diameter + job.runout
    cleans_up = clean_up <= least + TOLERANCE
    if cut and cleans_up:
        return None
    target = max(planned, clean_up)
    start = max(job.bore_now, least) if cut else job.bore_now
    runout = max(job.runout, case.runout_mm)
    return BoringPlan(
        clean_up,
        target,
        0.5 * (outside - target - runout),
        0.5 * (outside - clean_up - runout),
        cleans_up,
        _passes(start, target, job.depth_of_cut, job.finish_cut),
        case.min_wall_mm,
        tuple(b.mean_diameter for b in case.shell.bore),
    )


def _passes(start: float, target: float, depth: float, finish: float) -> tuple[Pass, ...]:
    """Equal roughing passes no deeper than allowed, a stop to measure, and one finishing pass."""
    total = 0.5 * (target - start)
    if total <= TOLERANCE:
        return ()
    if total <= finish + TOLERANCE:
        return (Pass(target, total),)
    rough = total - finish
    count = ceil(rough / depth - TOLERANCE)
    cuts = [rough / count] * count
    passes = [Pass(start + 2.0 * sum(cuts[: k + 1]), cuts[k], measure=k == count - 1) for k in range(count)]
    return (*passes, Pass(target, finish))
