"""Every judged cell of a case as a function of the planned interference.

All checks run over the 95 % interval of the fit round each interference of a grid, on the coarsest mesh and
with all states searched afresh, so that each cell is judged at the worse end of the interval, as `check`
does. Demand and capacity are multiplied by what all meshes give at a few anchors: the interference of the
case, and the two at which one end of the interval lies on an end of the window. Between interferences both
are interpolated linearly, and their quotient is the margin.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import isfinite
from typing import Literal

import numpy as np

from hoopwright.case.model import Case
from hoopwright.checks import Margin, Stage, doubted, evidence_at, evidence_of
from hoopwright.discretisation import usual_resolution
from hoopwright.estimate import Estimate
from hoopwright.fit import Governing
from hoopwright.geometry.validation import MAX_RELATIVE_INTERFERENCE
from hoopwright.one_thread import one_thread
from hoopwright.pressing.contradiction import (
    READ_LESS,
    READ_OTHERWISE,
    against_readings,
    contradicts,
    for_another_sleeve,
)
from hoopwright.rows.judging import judged
from hoopwright.sizing.plan import window_of_another
from hoopwright.sizing.window import MIN_INTERFERENCE, Window, withheld_window
from hoopwright.study import CaseStudy

TOLERANCE = 0.02
"""Of margin + 1, and at least of 1: how far an interpolated margin may be from that of a full check."""
MAX_BENDING = 0.01
"""Of the same: how far interpolation alone may be off; the rest is what the finer meshes add away from the
anchors."""
STEPS = 7
"""Of the first grid."""
MAX_POINTS = 14
"""Of the grid after steps were halved where a cell bends."""
LEAST_STEP = 1e-3
"""Step that is not halved, mm."""
BEYOND = 1.15
"""Upper end of the grid as a multiple of the greatest interference that is of interest."""

Key = tuple[str, Stage]
Cells = dict[Key, Margin]
WorseEnd = Literal["least", "greatest", "either"]


@dataclass(frozen=True)
class CellCurve:
    """One cell along the grid. own: as judged at the case's own interference. at: at each interference.

    bends: for each step of the grid whether the cell bends too much in it to be interpolated.
    """

    own: Margin
    at: tuple[Margin, ...]
    bends: tuple[bool, ...]

    @property
    def worse_end(self) -> WorseEnd:
        """The end of the fit's interval at which the cell is judged: the least where the margin rises with
        the interference; either where it does not follow it in one direction."""
        shares = np.array([_share(cell) for cell in self.at])
        rises = np.diff(shares)
        small = 1e-6 * max(float(shares.max()), 1.0)
        if np.all(rises >= -small) and np.any(rises > small):
            return "least"
        if np.all(rises <= small) and np.any(rises < -small):
            return "greatest"
        return "either"


@dataclass(frozen=True)
class NeedsSolve:
    """A cell that is not interpolated, as judged at the case's own interference, and why not."""

    own: Margin
    why: str


@dataclass(frozen=True)
class CellCurves:
    """The cells of a case along its interference.

    shifts: of the grid, from the likely interference, rising, mm; own: which of them is that of the case.
    """

    case: Case
    study: CaseStudy
    window: Window
    shifts: tuple[float, ...]
    own: int
    curves: tuple[CellCurve, ...]
    needs_solve: tuple[NeedsSolve, ...]


@one_thread()
def cell_curves(case: Case) -> CellCurves:
    """The curves of a case.

    Raises fem.MeshError or fem.SolveError when the model cannot be meshed or solved.
    """
    study = CaseStudy(case, usual_resolution(case))
    own, read = against_readings(judged(evidence_of(case, study)), case, study)
    contradicted = contradicts(case, study, read)
    another = case if contradicted else for_another_sleeve(case, study, read)
    window = (
        withheld_window(study, READ_OTHERWISE) if contradicted else window_of_another(case, study, another)
    )
    anchors = _anchors(study, window)
    fine = {0.0: own} | {shift: _afresh(study, shift) for shift in anchors if shift}
    doubts = {row.id: READ_OTHERWISE for row in own if contradicted}
    doubts |= {row.id: READ_LESS for row in own if row.doubt == READ_LESS}
    grid = _Grid(study, {shift: _by_key(rows, doubts) for shift, rows in fine.items()}, doubts)
    grid.refine(_first_shifts(study, window, anchors))
    return _curves(case, study, window, grid)


class _Grid:
    """Cells at shifts of the interference: on the coarsest mesh, corrected by what all meshes give at the
    anchors."""

    def __init__(self, study: CaseStudy, fine: dict[float, Cells], doubts: Mapping[str, str]) -> None:
        self._study, self._fine, self._doubts = study, fine, doubts
        self._coarsest = study.coarsest_only()
        self._coarsest.governing = Governing()  # another state may govern at another interference
        self._coarse: dict[float, Cells] = {}

    def refine(self, shifts: Sequence[float]) -> None:
        """Solve at the shifts, and at midpoints of the steps in which a cell bends."""
        while wanted := shifts[: MAX_POINTS - len(self._coarse)]:
            for shift in wanted:
                self._solve(shift)
            shifts = self._midpoints()

    def _midpoints(self) -> list[float]:
        """Those that are worth a solve, the worst first; what lies less than the interval away from the
        anchors comes before the rest."""
        at, anchors, interval = self.shifts, sorted(self._fine), 2.0 * self._study.interference_half_width
        steps = np.zeros(len(at) - 1)
        for key in self.keys:
            steps = np.maximum(steps, bending(at, self.cells(key)))

        def order(k: int) -> tuple[bool, float]:
            return at[k + 1] <= anchors[0] - interval or at[k] >= anchors[-1] + interval, -steps[k]

        worth_it = (int(k) for k in np.flatnonzero(steps > MAX_BENDING) if at[k + 1] - at[k] > LEAST_STEP)
        return [0.5 * (at[k] + at[k + 1]) for k in sorted(worth_it, key=order)]

    def _solve(self, shift: float) -> None:
        self._coarse[shift] = _by_key(_afresh(self._coarsest, shift), self._doubts)

    @property
    def shifts(self) -> list[float]:
        return sorted(self._coarse)

    @property
    def keys(self) -> list[Key]:
        """The cells that are judged at every shift and at every anchor, with finite numbers."""
        everywhere = [*self._coarse.values(), *self._fine.values()]
        return [key for key in self._fine[0.0] if all(_is_finite(cells.get(key)) for cells in everywhere)]

    def own(self, key: Key) -> Margin:
        return self._fine[0.0][key]

    @property
    def judged_keys(self) -> list[Key]:
        """Every cell that is judged at the case's own interference."""
        return list(self._fine[0.0])

    def cells(self, key: Key) -> list[Margin]:
        """A cell at every shift."""
        anchors = sorted(self._fine)
        fine, coarse = ([cells[a][key] for a in anchors] for cells in (self._fine, self._coarse))
        demand, capacity = (
            [_correction(getattr(f, side), getattr(c, side)) for f, c in zip(fine, coarse, strict=True)]
            for side in ("demand", "capacity")
        )
        return [
            replace(
                self._coarse[shift][key],
                demand=_corrected(self._coarse[shift][key].demand, demand, anchors, shift),
                capacity=_corrected(self._coarse[shift][key].capacity, capacity, anchors, shift),
            )
            for shift in self.shifts
        ]


def bending(shifts: Sequence[float], cells: Sequence[Margin]) -> np.ndarray:
    """For every step how far interpolation in it may be off, as a share of margin + 1 and at least of 1.

    Estimated where steps meet, from the straight line over both. Off that line a smooth curve goes with the
    square of the length; it is a quarter in half the length, and twice that is taken, for corners.
    """
    share = np.array([_share(cell) for cell in cells])
    off = np.zeros(len(shifts))
    for k in range(1, len(shifts) - 1):
        a, b, c = shifts[k - 1 : k + 2]
        t = (b - a) / (c - a)
        demand, capacity = (
            (1.0 - t) * _value(cells[k - 1], side) + t * _value(cells[k + 1], side)
            for side in ("demand", "capacity")
        )
        off[k] = abs(_quotient(demand, capacity, cells[k].factor) - share[k]) / max(1.0, share[k])
    length = np.diff(shifts)
    bent = np.zeros(len(shifts))
    bent[1:-1] = 0.5 * off[1:-1] / (length[:-1] * length[1:])
    return np.asarray(length**2 * np.maximum(bent[:-1], bent[1:]))


def _anchors(study: CaseStudy, window: Window) -> list[float]:
    """Shifts that are solved on all meshes."""
    half = study.interference_half_width
    if window.low is not None and window.high is not None:
        return sorted({0.0, window.low.shift + half, window.high.shift - half})
    ends = {
        c.interference - study.nominal_interference + (half if c.relation == "needs at least" else -half)
        for c in window.conflicts
        if c.interference is not None
    }
    return sorted({0.0, *ends})


def _first_shifts(study: CaseStudy, window: Window, anchors: Sequence[float]) -> list[float]:
    """From an interference that is a fit at the loose end of the interval to beyond the window, with the
    anchors in place of what lies close to them."""
    half, likely = study.interference_half_width, study.nominal_interference
    diameter = min(land.mean_diameter for land in study.case.shell.bore)
    ends = [likely, *(a + likely for a in anchors)] + ([] if window.empty else [window.greatest])
    last = min(BEYOND * (max(ends) + half), MAX_RELATIVE_INTERFERENCE * diameter)
    last = max(last, max(ends), MIN_INTERFERENCE + 2.0 * half)
    first = min(MIN_INTERFERENCE + half, min(ends))
    even = np.linspace(first - likely, last - likely, STEPS + 1)
    apart = 0.4 * (even[1] - even[0])
    between = [float(s) for s in even if all(abs(s - a) > apart for a in anchors)]
    return sorted({*anchors, *between})


def _afresh(study: CaseStudy, shift: float) -> tuple[Margin, ...]:
    """All rows over the interval round a shift, searched in every state: those that came near to govern at
    another interference need not do so here."""
    study.search_afresh()
    half = study.interference_half_width
    return judged(evidence_at(study.case, study, shift - half, shift + half))


def _by_key(rows: Sequence[Margin], doubts: Mapping[str, str]) -> Cells:
    """The cells of the rows, in doubt at every interference where what was read at the press puts the row
    in doubt as it was pressed. doubts: by row."""
    told = (doubted(row, doubts[row.id]) if row.id in doubts else row for row in rows)
    return {(cell.id, cell.stage): cell for row in told for cell in row.cells}


def _curves(case: Case, study: CaseStudy, window: Window, grid: _Grid) -> CellCurves:
    shifts, interpolated = grid.shifts, set(grid.keys)
    curves, needs = [], []
    for key in grid.judged_keys:
        own = grid.own(key)
        if key not in interpolated:
            needs.append(
                NeedsSolve(own, "it is not judged, or has no finite number, at every interference")
            )
            continue
        cells = grid.cells(key)
        bends = tuple(bool(b) for b in bending(shifts, cells) > MAX_BENDING)
        if all(bends):
            needs.append(NeedsSolve(own, "it bends too much along the interference to be interpolated"))
        else:
            curves.append(CellCurve(own, tuple(cells), bends))
    return CellCurves(case, study, window, tuple(shifts), shifts.index(0.0), tuple(curves), tuple(needs))


def _value(cell: Margin, side: str) -> float:
    found = getattr(cell, side)
    assert found is not None
    return float(found.value)


def _share(cell: Margin) -> float:
    """margin + 1, and no more than a margin of a thousand, beyond which nothing is of interest."""
    return _quotient(_value(cell, "demand"), _value(cell, "capacity"), cell.factor)


def _quotient(demand: float, capacity: float, factor: float) -> float:
    if capacity <= 0.0:
        return 0.0
    return min(capacity / (factor * demand), 1e3) if demand > 0.0 else 1e3


def _is_finite(cell: Margin | None) -> bool:
    return (
        cell is not None
        and cell.demand is not None
        and cell.capacity is not None
        and isfinite(cell.demand.value)
        and isfinite(cell.capacity.value)
    )


def _correction(fine: Estimate, coarse: Estimate) -> tuple[float, float]:
    """What a value of the coarsest mesh is multiplied by, and the relative error of the product."""
    if not coarse.value or not fine.value:
        return 1.0, 0.0
    return fine.value / coarse.value, abs(fine.error / fine.value)


def _corrected(
    value: Estimate | None,
    corrections: Sequence[tuple[float, float]],
    anchors: Sequence[float],
    shift: float,
) -> Estimate:
    assert value is not None
    ratio, error = (float(np.interp(shift, anchors, side)) for side in zip(*corrections, strict=True))
    return Estimate(ratio * value.value, error * abs(ratio * value.value))
