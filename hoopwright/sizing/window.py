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
from hoopwright.fit import FitStudy
from hoopwright.sizing.response import Check

LEAST = 1e-3
"""mm: the loosest fit looked at; below it nothing is pressed."""
TOLERANCE = 2e-5
"""mm: how closely the ends are found."""
LADDER = (0.0, 0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0)
"""Where to look first, as multiples of the planned interference or of 1/1000 of the diameter."""


@dataclass(frozen=True)
class End:
    """One end of the window. shift: mm, from the likely interference; by: the check that stops
    holding there, None where nothing does within the range looked at."""

    shift: float
    by: Margin | None


@dataclass(frozen=True)
class Window:
    """likely: effective diametral interference of the case as given, mm. low, high: ends, None both
    where the window is empty; clash: then the checks that exclude each other, with the least
    interference that each needing more asks for, or the most the other allows (mm, or None).
    """

    likely: float
    low: End | None
    high: End | None
    clash: tuple[tuple[Margin, str, float | None], ...] = ()
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
    """The assessed checks of a case at any shift; each shift is solved once."""

    def __init__(self, case: Case, study: FitStudy, checks: Iterable[Check]) -> None:
        self.case, self.study, self.checks = case, study, tuple(checks)
        self._seen: dict[float, tuple[Margin, ...]] = {}

    def margins(self, shift: float) -> tuple[Margin, ...]:
        if shift not in self._seen:
            evidence = Evidence(self.case, self.study, shift, shift)
            self._seen[shift] = tuple(check(evidence) for check in self.checks)
        return self._seen[shift]

    def slack(self, index: int, shift: float) -> float:
        return slack(self.margins(shift)[index])


def slack(margin: Margin) -> float:
    """Above zero exactly where a check holds; nearly linear in the interference, as a root-finder likes.

        [capacity − error − factor · demand − (capacity/demand) · error of demand] / size of both
    """
    if margin.margin is None:
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


def find_window(case: Case, study: FitStudy, checks: Iterable[Check]) -> Window:
    """The widest run of interferences around the best one where every assessed check holds."""
    probe = Probe(case, study, checks)
    likely = study.nominal_interference
    at = [s for s in _ladder(study)]
    table = np.array([[slack(m) for m in probe.margins(s)] for s in at])
    assessed = sum(m.margin is not None for m in probe.margins(at[0]))
    best = int(np.argmax(table.min(axis=1)))
    if table[best].min() <= 0.0:
        found = _between(probe, at, table, best)
        if found is None:
            return Window(likely, None, None, _clash(probe, at, table, likely), assessed)
        at, table, best = found
    low = _end(probe, at, table, best, -1)
    high = _end(probe, at, table, best, +1)
    return Window(likely, low, high, (), assessed)


def _ladder(study: FitStudy) -> list[float]:
    """Shifts to look at first, from the loosest fit to the largest interference any case may have."""
    diameter = min(b.mean_diameter for b in study.case.shell.bore)
    likely = study.nominal_interference
    unit = max(likely, 1e-3 * diameter)
    most = LARGEST_INTERFERENCE * diameter
    wanted = {likely, *(LEAST + unit * k for k in LADDER)}
    return [w - likely for w in sorted(wanted) if w <= most] or [LEAST - likely]


def _between(
    probe: Probe, at: list[float], table: np.ndarray, best: int
) -> tuple[list[float], np.ndarray, int] | None:
    """A narrow window between two rungs: halve the steps beside the best rung until it shows, or until
    it would be narrower than anyone could cut."""
    for _ in range(12):
        left, right = max(best - 1, 0), min(best + 1, len(at) - 1)
        added = [0.5 * (at[k] + at[k + 1]) for k in range(left, right)]
        if not added or at[right] - at[left] < 2.0 * TOLERANCE:
            return None
        rows = np.array([[slack(m) for m in probe.margins(s)] for s in added])
        order = np.argsort([*at, *added])
        table = np.vstack([table, rows])[order]
        at = [[*at, *added][k] for k in order]
        best = int(np.argmax(table.min(axis=1)))
        if table[best].min() > 0.0:
            return at, table, best
    return None


def _end(probe: Probe, at: list[float], table: np.ndarray, best: int, step: int) -> End:
    """Walk from a rung where all hold to the first where one does not, and find the end between."""
    k = best
    while 0 <= k + step < len(at) and table[k + step].min() > 0.0:
        k += step
    if not 0 <= k + step < len(at):
        return End(at[k], None)
    inside, outside = at[k], at[k + step]
    for _ in range(2 * len(probe.checks) + 2):
        failing = [i for i, m in enumerate(probe.margins(outside)) if slack(m) <= 0.0]
        roots = {i: _root(probe, i, inside, outside) for i in failing}
        first = min(roots, key=lambda i: step * roots[i])
        edge = _just_inside(probe, first, roots[first], inside, step)
        if all(slack(m) > 0.0 for m in probe.margins(edge)):
            return End(edge, probe.margins(roots[first])[first])
        outside = edge  # another check gives way even earlier
    return End(inside, probe.margins(outside)[first])


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


def _clash(
    probe: Probe, at: list[float], table: np.ndarray, likely: float
) -> tuple[tuple[Margin, str, float | None], ...]:
    """Which checks exclude each other: what needs more, what allows no more, what never holds."""
    never, least, most = [], [], []
    for i in range(table.shape[1]):
        holds = np.flatnonzero(table[:, i] > 0.0)
        if len(holds) == 0:
            worst = int(np.argmax(table[:, i]))
            never.append((probe.margins(at[worst])[i], "never holds", None))
            continue
        first, last = int(holds[0]), int(holds[-1])
        if first > 0:
            root = _root(probe, i, at[first], at[first - 1])
            least.append((root, i))
        if last < len(at) - 1:
            most.append((_root(probe, i, at[last], at[last + 1]), i))
    if never:
        return tuple(never)
    found = []
    if least:
        root, i = max(least)
        found.append((probe.margins(root)[i], "needs at least", likely + root))
    if most:
        root, i = min(most)
        found.append((probe.margins(root)[i], "allows at most", likely + root))
    return tuple(found)
