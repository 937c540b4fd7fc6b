"""The window: all effective interferences at which every assessed check holds.

Ends are found by root-finding on the real checks, each run at one interference (Evidence with least
and greatest equal). A check holds where its margin exceeds its own numerical error and nothing puts it
in doubt; only what holds counts, so the mesh cannot make the window wider than it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from geometry.soundness import LARGEST_INTERFERENCE
from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.sizing.response import Check, Curve
from hoopwright.study import CaseStudy

LEAST = 1e-3
"""mm: the loosest fit looked at; below it nothing is pressed."""
TOLERANCE = 2e-5
"""mm: how closely the ends are found."""
LADDER = (0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
"""Where to look first, as multiples of the planned interference or of 1/1000 of the diameter."""


@dataclass(frozen=True)
class End:
    """One end of the window. shift: mm, from the likely interference; by: the check that stops
    holding there, None where nothing does within the range looked at."""

    shift: float
    by: Margin | None


@dataclass(frozen=True)
class Clash:
    """One side of an empty window: a check that "never holds", or "needs at least" or "allows at most"
    this effective interference, mm."""

    margin: Margin
    word: str
    interference: float | None


@dataclass(frozen=True)
class Window:
    """likely: effective diametral interference of the case as given, mm. low, high: ends, None both
    where the window is empty; clash: then the checks that exclude each other. assessed: how many
    checks were held against the case.
    """

    likely: float
    low: End | None
    high: End | None
    clash: tuple[Clash, ...] = ()
    assessed: int = 0

    @property
    def empty(self) -> bool:
        return self.low is None or self.high is None

    @property
    def least(self) -> float:
        """Least effective interference, mm. Only of a window that is not empty."""
        assert self.low is not None
        return self.likely + self.low.shift

    @property
    def greatest(self) -> float:
        assert self.high is not None
        return self.likely + self.high.shift

    @property
    def width(self) -> float:
        return 0.0 if self.empty else self.greatest - self.least


class Probe:
    """The checks of a case at any shift; each is run once at each, and only when asked for."""

    def __init__(self, case: Case, study: CaseStudy, checks: Iterable[Check]) -> None:
        self.case, self.study, self.checks = case, study, tuple(checks)
        self._seen: dict[tuple[int, float], Margin] = {}

    def margins(self, shift: float) -> tuple[Margin, ...]:
        return tuple(self.margin(i, shift) for i in range(len(self.checks)))

    def margin(self, index: int, shift: float) -> Margin:
        key = index, shift
        if key not in self._seen:
            self._seen[key] = self.checks[index](Evidence(self.case, self.study, shift, shift))
        return self._seen[key]

    def slack(self, index: int, shift: float) -> float:
        return slack(self.margin(index, shift))


def slack(margin: Margin) -> float:
    """Above zero exactly where a check holds; nearly linear in the interference, as a root-finder likes.

    [capacity − error − factor · demand − (capacity/demand) · error of demand] / size of both
    """
    if margin.margin is None or not margin.applies:
        return 1.0
    demand, capacity = margin.demand, margin.capacity
    assert demand is not None
    assert capacity is not None
    if demand.value <= 0.0:
        free = 1.0
    else:
        error = margin.numerical_error or 0.0
        free = (margin.margin - error) * margin.factor * demand.value
        free /= abs(capacity.value) + margin.factor * demand.value
    return min(free, -1e-3) if margin.doubt else free


def find_window(case: Case, study: CaseStudy, checks: Iterable[Check]) -> Window:
    """The widest run of interferences around the best one where every assessed check holds."""
    return window_of(Probe(case, study, checks))


def best_margin(probe: Probe, window: Window) -> tuple[float, float] | None:
    """The largest least margin in the window, and the effective interference that gives it, mm; by
    straight lines through demand and capacity at both ends and in the middle. None of an empty window."""
    if window.low is None or window.high is None:
        return None
    at = np.linspace(window.low.shift, window.high.shift, 3)
    rows = [probe.margins(float(s)) for s in at]
    fine = np.linspace(at[0], at[-1], 401)
    least = np.full(len(fine), np.inf)
    for line in zip(*rows, strict=True):
        if all(m.applies and m.margin is not None for m in line):
            least = np.minimum(least, Curve.through(line, at).at(fine))
    k = int(np.argmax(least))
    return float(least[k]), window.likely + float(fine[k])


def window_of(probe: Probe) -> Window:
    """As find_window, on checks that may have been run already."""
    study = probe.study
    likely = study.nominal_interference
    at = _needed_rungs(probe, _ladder(study))
    table = np.array([[slack(m) for m in probe.margins(s)] for s in at])
    assessed = sum(m.applies and m.margin is not None for m in probe.margins(at[0]))
    best = int(np.argmax(table.min(axis=1)))
    if table[best].min() <= 0.0:
        inside, clash = _between(probe, at, table)
        if inside is None:
            return Window(likely, None, None, clash, assessed)
        best = int(np.searchsorted(at, inside))
        at.insert(best, inside)
        table = np.insert(table, best, [slack(m) for m in probe.margins(inside)], axis=0)
    low, high = (_end(probe, at, table, best, step) for step in (-1, 1))
    return Window(likely, low, high, (), assessed)


def _needed_rungs(probe: Probe, rungs: list[float]) -> list[float]:
    """Where all checks hold as planned, only the rungs out to the first failure on either side."""
    def holds(k: int) -> bool:
        return all(slack(m) > 0.0 for m in probe.margins(rungs[k]))

    planned = int(np.argmin(np.abs(rungs)))
    if not holds(planned):
        return rungs
    low = high = planned
    while low > 0 and (low == planned or holds(low)):
        low -= 1
    while high < len(rungs) - 1 and (high == planned or holds(high)):
        high += 1
    return rungs[low:high + 1]


def _ladder(study: CaseStudy) -> list[float]:
    """Shifts to look at first, from the loosest fit to the largest interference any case may have."""
    diameter = min(b.mean_diameter for b in study.case.shell.bore)
    likely = study.nominal_interference
    unit = max(likely, 1e-3 * diameter)
    most = LARGEST_INTERFERENCE * diameter
    wanted = {likely, *(LEAST + unit * k for k in LADDER)}
    return [w - likely for w in sorted(wanted) if w <= most] or [LEAST - likely]


def _end(probe: Probe, at: list[float], table: np.ndarray, best: int, step: int) -> End:
    """Walk from a rung where all hold to the first where one does not, and find the end between."""
    k = best
    while 0 <= k + step < len(at) and table[k + step].min() > 0.0:
        k += step
    if not 0 <= k + step < len(at):
        return End(at[k], None)
    inside, outside = at[k], at[k + step]
    by = _first_to_fail(probe, inside, outside, step)
    for _ in range(2 * len(probe.checks) + 2):
        root = _root(probe, by, inside, outside)
        edge = _just_inside(probe, by, root, inside, step)
        if all(slack(m) > 0.0 for m in probe.margins(edge)):
            return End(edge, probe.margin(by, root))
        outside = edge  # another check gives way even earlier
        by = _first_to_fail(probe, inside, outside, step)
    return End(inside, probe.margin(by, outside))


def _first_to_fail(probe: Probe, inside: float, outside: float, step: int) -> int:
    """The check that a straight line between two places sees fail first."""
    near, far = ([slack(m) for m in probe.margins(s)] for s in (inside, outside))
    return min(
        (i for i in range(len(far)) if far[i] <= 0.0),
        key=lambda i: step * _crossing(inside, near[i], outside, far[i]),
    )


def _crossing(a: float, at_a: float, b: float, at_b: float) -> float:
    return a + (b - a) * at_a / (at_a - at_b)


def _root(probe: Probe, index: int, inside: float, outside: float) -> float:
    return float(brentq(lambda s: probe.slack(index, float(s)), inside, outside, xtol=0.25 * TOLERANCE))


def _just_inside(probe: Probe, index: int, root: float, inside: float, step: int) -> float:
    """The root moved back by no more than the tolerance, so that the check holds there."""
    for back in (0.0, 0.25, 0.5, 1.0):
        shift = root - step * back * TOLERANCE
        if step * (shift - inside) <= 0.0:
            return inside
        if probe.slack(index, shift) > 0.0:
            return shift
    return inside


def _between(probe: Probe, at: list[float], table: np.ndarray) -> tuple[float | None, tuple[Clash, ...]]:
    """No rung holds: either the rungs straddle a narrow window, whose middle is returned, or checks
    exclude each other, which are named."""
    ranges = [np.flatnonzero(column > 0.0) for column in table.T]
    never = [i for i, r in enumerate(ranges) if len(r) == 0]
    if never:
        worst = [probe.margin(i, at[int(np.argmax(table[:, i]))]) for i in never]
        return None, tuple(Clash(m, "never holds", None) for m in worst)
    starts = {i: (at[r[0]], at[r[0] - 1]) for i, r in enumerate(ranges) if r[0] > 0}
    stops = {i: (at[r[-1]], at[r[-1] + 1]) for i, r in enumerate(ranges) if r[-1] < len(at) - 1}
    low, high = _outermost(probe, starts, -1), _outermost(probe, stops, +1)
    clash = tuple(
        Clash(probe.margin(i, end), word, probe.study.nominal_interference + end)
        for found, word in ((low, "needs at least"), (high, "allows at most"))
        for i, end in ([found] if found else [])
    )
    if low and high and high[1] - low[1] > 2.0 * TOLERANCE:
        middle = 0.5 * (low[1] + high[1])
        if all(slack(m) > 0.0 for m in probe.margins(middle)):
            return middle, clash
    return None, clash


def _outermost(
    probe: Probe, brackets: dict[int, tuple[float, float]], step: int
) -> tuple[int, float] | None:
    """The end that binds: of all checks that stop holding on this side, the one that stops first."""

    def guess(i: int) -> float:
        inside, outside = brackets[i]
        return _crossing(inside, probe.slack(i, inside), outside, probe.slack(i, outside))

    found: tuple[int, float] | None = None
    for i in sorted(brackets, key=lambda i: step * guess(i)):
        if found is not None and probe.slack(i, found[1]) > 0.0:
            continue
        found = i, _root(probe, i, *brackets[i])
    return found
