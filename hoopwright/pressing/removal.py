"""Take a failed sleeve out again: the push that moves it, the heat that frees it, what the shell stood.

F = μ_high · restart ratio · ∫ p dA        greatest interference, pushed along from home
free where the least gap on the way is 0, both parts as warm, or the shell alone, sizes at their tightest
"""

from __future__ import annotations

from dataclasses import dataclass

from scipy.optimize import brentq

from hoopwright.by_slices import oval_gain
from hoopwright.checks import Evidence, Margin
from hoopwright.checks.past_yield import PRESSING
from hoopwright.pressing.heat import HeatPlan, heat_limit
from hoopwright.pressing.past_yield import PastYield
from hoopwright.slipping_in import SlippingIn, slipping_in


@dataclass(frozen=True)
class Removal:
    """force: to push the sleeve out after a rest, N. capacity: of the press, N, None where not given.

    free_together_K, free_shell_K: K above 20 °C at which it is free, both parts as warm, and the shell
    alone; None where no temperature does it that the shell stands. limit_K: what the shell stands. pressed:
    cells of the shell's yield on the way in and pressed. growth: past yield, None where it stays elastic.
    """

    force: float
    capacity: float | None
    free_together_K: float | None  # noqa: N815 - fields end in their unit
    free_shell_K: float | None  # noqa: N815
    limit_K: float  # noqa: N815
    pressed: tuple[Margin, ...]
    growth: Growth | None

    @property
    def strong_enough(self) -> bool | None:
        """Whether the press moves it; None where its capacity is not given."""
        return None if self.capacity is None else self.capacity >= self.force


@dataclass(frozen=True)
class Growth:
    """What stays once the sleeve is out, mm on diameter: growth of the shell's outside and bore, and what
    the sleeve has shrunk."""

    outside: float
    bore: float
    sleeve_shrink: float


def removal_of(
    evidence: Evidence, margins: tuple[Margin, ...], heat: HeatPlan, past_yield: PastYield | None
) -> Removal:
    """How to take the sleeve of a checked joint out. heat, past_yield: of its press plan."""
    case, study = evidence.case, evidence.study
    _, pressing = case.pressing_friction
    friction = case.press.restart_ratio * max(pressing, case.fit.friction_high)
    normal = study.coarse.moving_normal_force(evidence.greatest, evidence.bench, friction)
    normal *= oval_gain(case, study.joint, evidence.greatest)
    ways, (limit, _) = slipping_in(case), heat_limit(case)
    alone = ways.shell_rise_for(0.0, evidence.bench, ways.half_width)
    shell = next((row for row in margins if row.id == "shell_yields"), None)
    return Removal(
        friction * normal,
        case.press.capacity,
        _free_together(ways, evidence.bench, heat.limit_K),
        max(alone, evidence.bench) if alone <= limit else None,
        limit,
        () if shell is None else tuple(cell for cell in shell.cells if cell.stage in PRESSING),
        _growth(past_yield),
    )


def _free_together(ways: SlippingIn, bench: float, limit: float) -> float | None:
    """The temperature, K above 20 °C, at which both parts as warm are free; None up to a limit."""

    def gap(rise: float) -> float:
        return ways.tightest(rise, rise, ways.half_width)[0]

    if gap(bench) >= 0.0:
        return bench
    return None if limit <= bench or gap(limit) < 0.0 else float(brentq(gap, bench, limit, xtol=1e-3))


def _growth(found: PastYield | None) -> Growth | None:
    if found is None or not found.plastic:
        return None
    last = found.last
    return Growth(last.outside_growth, last.bore_growth, last.sleeve_shrink)
