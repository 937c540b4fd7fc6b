"""Window of effective interference in which every assessed check holds.

Its ends are found by root-finding on the full checks, each run at a single interference (Evidence with
least and greatest equal). A check holds where its margin exceeds its numerical error and is not in doubt,
so that the numerical error can only make the window narrower.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq

from hoopwright.case.model import Case
from hoopwright.checks.evidence import evidence_at
from hoopwright.checks.margin import Margin
from hoopwright.geometry.validation import MAX_RELATIVE_INTERFERENCE
from hoopwright.sizing.margin_curves import Check, MarginCurve
from hoopwright.study import CaseStudy

MIN_INTERFERENCE = 1e-3
"""Least interference searched, mm; below it there is no press fit."""
TOLERANCE = 2e-5
"""Tolerance of the ends, mm."""
HALVINGS = 5
"""Of a step of the search in which no shift tried lets all checks hold and one between may."""
SEARCH_MULTIPLES = (0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
"""First points of the search, as multiples of the planned interference or of 1/1000 of the diameter."""


@dataclass(frozen=True)
class End:
    """One end of the window.

    shift: from the likely interference, mm. by: the check that stops holding there; None where none does
    within the range searched.
    """

    shift: float
    by: Margin | None


@dataclass(frozen=True)
class Conflict:
    """A check that makes the window empty: it "never holds", or it "needs at least" or "allows at most" an
    effective interference, mm."""

    margin: Margin
    relation: str
    interference: float | None


@dataclass(frozen=True)
class Window:
    """The range of interference in which every assessed check holds.

    likely: effective diametral interference of the case as given, mm. low, high: its ends, both None where
    the window is empty; conflicts: then the checks that exclude each other. assessed: number of checks
    assessed. withheld: why no window is given although one might be found, "" where it is not withheld.
    smoothing: most diametral interference lost as roughness is flattened, mm: so much more is measured.
    """

    likely: float
    low: End | None
    high: End | None
    conflicts: tuple[Conflict, ...] = ()
    assessed: int = 0
    withheld: str = ""
    smoothing: float = 0.0

    @property
    def empty(self) -> bool:
        return self.low is None or self.high is None

    @property
    def least(self) -> float:
        """Least effective interference in the window, mm. The window must not be empty."""
        assert self.low is not None
        return self.likely + self.low.shift

    @property
    def greatest(self) -> float:
        """Greatest effective interference in the window, mm. The window must not be empty."""
        assert self.high is not None
        return self.likely + self.high.shift

    @property
    def width(self) -> float:
        """Width of the window, mm; 0 where it is empty."""
        return 0.0 if self.empty else self.greatest - self.least


class CheckCache:
    """Margins of a case at any shift of the interference, each computed on first request and cached."""

    def __init__(self, case: Case, study: CaseStudy, checks: Iterable[Check]) -> None:
        self.case, self.study, self.checks = case, study, tuple(checks)
        self._margins: dict[tuple[int, float], Margin] = {}

    def margins(self, shift: float) -> tuple[Margin, ...]:
        return tuple(self.margin(i, shift) for i in range(len(self.checks)))

    def margin(self, index: int, shift: float) -> Margin:
        key = index, shift
        if key not in self._margins:
            self._margins[key] = self.checks[index](evidence_at(self.case, self.study, shift, shift))
        return self._margins[key]

    def afresh(self, shift: float) -> tuple[Margin, ...]:
        """Margins from a search of all states at this shift: between shifts only the nearest are looked at
        again."""
        self.study.search_afresh()
        for index in range(len(self.checks)):
            self._margins.pop((index, shift), None)
        return self.margins(shift)

    def slack(self, index: int, shift: float) -> float:
        return slack(self.margin(index, shift))


def slack(row: Margin, *, despite_doubt: bool = False) -> float:
    """A measure that is positive exactly where all cells of a row hold and nearly linear in the
    interference.

    [capacity − factor · demand − error of both] / size of both; despite_doubt: as if none were in doubt.
    """
    return min((_slack(cell, despite_doubt) for cell in row.cells), default=1.0)


def _slack(cell: Margin, despite_doubt: bool) -> float:
    excess, demand, capacity = cell.excess, cell.demand, cell.capacity
    if excess is None or demand is None or capacity is None:
        return 1.0
    size = abs(capacity.value) + cell.factor * max(demand.value, 0.0)
    value = -1.0 if math.isinf(demand.value) else (excess.value - excess.error) / max(size, 1e-300)
    if capacity.value <= 0.0:
        value = min(value, 0.0)
    return min(value, -1e-3) if cell.doubt and not despite_doubt else value


def withheld_window(study: CaseStudy, why: str) -> Window:
    """No window, for a reason that no size settles."""
    return Window(
        study.nominal_interference, None, None, withheld=why, smoothing=study.interference.smoothing
    )


def find_window(case: Case, study: CaseStudy, checks: Iterable[Check]) -> Window:
    """The widest run of interferences around the best one where every assessed check holds."""
    return window_of(CheckCache(case, study, checks))


def best_margin(cache: CheckCache, window: Window) -> tuple[float, float] | None:
    """The largest least margin in the window, and the effective interference that gives it, mm.

    Demand and capacity are interpolated linearly between both ends and the middle. None where the window is
    empty.
    """
    if window.low is None or window.high is None:
        return None
    at = np.linspace(window.low.shift, window.high.shift, 3)
    rows = [cache.margins(float(s)) for s in at]
    fine = np.linspace(at[0], at[-1], 401)
    least = np.full(len(fine), np.inf)
    for line in zip(*rows, strict=True):
        by_stage = [{cell.stage: cell for cell in row.cells} for row in line]
        for stage in by_stage[0].keys() & by_stage[1].keys() & by_stage[2].keys():
            cells = [row[stage] for row in by_stage]
            least = np.minimum(least, MarginCurve.through(cells, at).at(fine))
    k = int(np.argmax(least))
    return float(least[k]), window.likely + float(fine[k])


def window_of(cache: CheckCache) -> Window:
    """The window as by find_window, from checks that may have been run already."""
    study = cache.study
    likely, smoothing = study.nominal_interference, study.interference.smoothing
    at = _needed_shifts(cache, _search_shifts(study))
    slacks = np.array([[slack(m) for m in cache.margins(s)] for s in at])
    assessed = sum(bool(m.cells) for m in cache.margins(at[0]))
    best = int(np.argmax(slacks.min(axis=1)))
    if slacks[best].min() <= 0.0:
        inside, conflicts = _between(cache, at, slacks)
        inside = _within_a_step(cache, at) if inside is None else inside
        if inside is None:
            return Window(likely, None, None, conflicts, assessed, smoothing=smoothing)
        best = int(np.searchsorted(at, inside))
        at.insert(best, inside)
        slacks = np.insert(slacks, best, [slack(m) for m in cache.margins(inside)], axis=0)
    low, high = (_end(cache, at, slacks, best, step) for step in (-1, 1))
    return Window(likely, low, high, (), assessed, smoothing=smoothing)


def _needed_shifts(cache: CheckCache, shifts: list[float]) -> list[float]:
    """The shifts to evaluate: all of them, or, where every check holds as planned, only those out to the
    first failure on either side."""

    def holds(k: int) -> bool:
        return all(slack(m) > 0.0 for m in cache.margins(shifts[k]))

    planned = int(np.argmin(np.abs(shifts)))
    if not holds(planned):
        return shifts
    low = high = planned
    while low > 0 and (low == planned or holds(low)):
        low -= 1
    while high < len(shifts) - 1 and (high == planned or holds(high)):
        high += 1
    return shifts[low : high + 1]


def _search_shifts(study: CaseStudy) -> list[float]:
    """First shifts of the search, mm, from the loosest fit to the largest interference a case may have."""
    diameter = min(b.mean_diameter for b in study.case.shell.bore)
    likely = study.nominal_interference
    unit = max(likely, 1e-3 * diameter)
    max_interference = MAX_RELATIVE_INTERFERENCE * diameter
    wanted = {likely, *(MIN_INTERFERENCE + unit * k for k in SEARCH_MULTIPLES)}
    return [w - likely for w in sorted(wanted) if w <= max_interference] or [MIN_INTERFERENCE - likely]


def _end(cache: CheckCache, at: list[float], slacks: np.ndarray, best: int, step: int) -> End:
    """The end of the window in one direction (step -1 or +1) from a shift at which all checks hold."""
    k = best
    while 0 <= k + step < len(at) and slacks[k + step].min() > 0.0:
        k += step
    if not 0 <= k + step < len(at):
        return End(at[k], None)
    inside, outside = at[k], at[k + step]
    by = _first_to_fail(cache, inside, outside, step)
    for _ in range(2 * len(cache.checks) + len(at)):
        root = _root(cache, by, inside, outside)
        edge = _just_inside(cache, by, root, inside, step)
        if all(slack(m) > 0.0 for m in cache.afresh(edge)):
            return End(edge, cache.margin(by, root))
        outside = edge  # another check stops holding even earlier
        if step * (edge - inside) <= 0.0:  # it held there only in the states looked at on the way
            k -= step
            if not 0 <= k < len(at) or slacks[k].min() <= 0.0:
                break
            inside = at[k]
        by = _first_to_fail(cache, inside, outside, step)
    return End(inside, cache.margin(by, outside))


def _first_to_fail(cache: CheckCache, inside: float, outside: float, step: int) -> int:
    """Index of the check that fails first on the way from inside to outside, by linear interpolation."""
    near, far = ([slack(m) for m in cache.margins(s)] for s in (inside, outside))
    return min(
        (i for i in range(len(far)) if far[i] <= 0.0),
        key=lambda i: step * _crossing(inside, near[i], outside, far[i]),
    )


def _crossing(a: float, at_a: float, b: float, at_b: float) -> float:
    return a + (b - a) * at_a / (at_a - at_b)


def _root(cache: CheckCache, index: int, inside: float, outside: float) -> float:
    return float(brentq(lambda s: cache.slack(index, float(s)), inside, outside, xtol=0.25 * TOLERANCE))


def _just_inside(cache: CheckCache, index: int, root: float, inside: float, step: int) -> float:
    """The root moved back by no more than the tolerance, so that the check holds there."""
    for back in (0.0, 0.25, 0.5, 1.0):
        shift = root - step * back * TOLERANCE
        if step * (shift - inside) <= 0.0:
            return inside
        if cache.slack(index, shift) > 0.0:
            return shift
    return inside


def _between(
    cache: CheckCache, at: list[float], slacks: np.ndarray
) -> tuple[float | None, tuple[Conflict, ...]]:
    """Where no shift tried lets all checks hold: the middle of a narrow window between two of them, or None
    and the checks that exclude each other."""
    ranges = [np.flatnonzero(column > 0.0) for column in slacks.T]
    never = [i for i, r in enumerate(ranges) if len(r) == 0]
    if never:
        worst = [cache.margin(i, at[int(np.argmax(slacks[:, i]))]) for i in never]
        return None, tuple(Conflict(m, "never holds", None) for m in worst)
    starts = {i: (at[r[0]], at[r[0] - 1]) for i, r in enumerate(ranges) if r[0] > 0}
    stops = {i: (at[r[-1]], at[r[-1] + 1]) for i, r in enumerate(ranges) if r[-1] < len(at) - 1}
    low, high = _outermost(cache, starts, -1), _outermost(cache, stops, +1)
    conflicts = tuple(
        Conflict(cache.margin(i, end), relation, cache.study.nominal_interference + end)
        for found, relation in ((low, "needs at least"), (high, "allows at most"))
        for i, end in ([found] if found else [])
    )
    if low and high and high[1] - low[1] > 2.0 * TOLERANCE:
        middle = 0.5 * (low[1] + high[1])
        if all(slack(m) > 0.0 for m in cache.margins(middle)):
            return middle, conflicts
    return None, conflicts


def _within_a_step(cache: CheckCache, at: list[float]) -> float | None:
    """A shift at which all checks hold, between two that were tried, or None.

    A row may hold at neither of them: on one side it rests on what is in doubt there, such as a joint that
    opens, and on the other it fails.
    """
    steps = list(pairwise(at))
    for _ in range(HALVINGS):
        halves = []
        for a, b in steps:
            if not _window_between(cache, a, b):
                continue
            middle = 0.5 * (a + b)
            if all(slack(m) > 0.0 for m in cache.margins(middle)):
                return middle
            halves += [(a, middle), (middle, b)]
        steps = halves
    return None


def _window_between(cache: CheckCache, a: float, b: float) -> bool:
    """Whether every row would hold at one of the shifts or the other, if nothing were in doubt."""
    return all(
        max(slack(m, despite_doubt=True) for m in pair) > 0.0
        for pair in zip(cache.margins(a), cache.margins(b), strict=True)
    )


def _outermost(
    cache: CheckCache, brackets: dict[int, tuple[float, float]], step: int
) -> tuple[int, float] | None:
    """The binding end on one side: index and shift, mm, of the check that stops holding first."""

    def guess(i: int) -> float:
        inside, outside = brackets[i]
        return _crossing(inside, cache.slack(i, inside), outside, cache.slack(i, outside))

    found: tuple[int, float] | None = None
    for i in sorted(brackets, key=lambda i: step * guess(i)):
        further_in = found is not None and step * (found[1] - brackets[i][0]) <= 0.0
        if found is not None and (further_in or cache.slack(i, found[1]) > 0.0):
            continue
        found = i, _root(cache, i, *brackets[i])
    return found
