"""Margins as functions of the interference, and their intervals due to uncertain sizes.

The checks run at a few shifts of the interference. Demand and capacity are interpolated linearly
between them, which is exact where the response is linear; shifts are added where it is not. 100,000 sampled
fits are evaluated on these curves. Errors of the shell's outside diameter enter through the closed form:
value(outside) = FE value × Lamé(outside) / Lamé(nominal).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence, evidence_at
from hoopwright.checks.margin import NO_GRIP, Margin, Stage
from hoopwright.estimate import Estimate
from hoopwright.interference import outside_errors
from hoopwright.sizing.outside_diameter_effect import OutsideDiameterEffect
from hoopwright.study import CaseStudy

Check = Callable[[Evidence], Margin]

SAMPLES = 100_000
SEED = 20  # any fixed one: the same case gives the same intervals
LINEARITY_TOLERANCE = 2e-3
"""Relative deviation from a straight line above which the step is halved."""
MAX_HALVINGS = 2
CONFIDENCE = 0.95


@dataclass(frozen=True)
class MarginCurve:
    """One cell of a row along the interference. shifts: rising, mm; demand, capacity: at each shift."""

    margin: Margin
    shifts: np.ndarray
    demand: np.ndarray
    capacity: np.ndarray

    @classmethod
    def through(cls, margins: Sequence[Margin], shifts: np.ndarray) -> MarginCurve:
        """The curve through one cell, which must be assessed at every shift."""
        sides = [(m.demand.value, m.capacity.value) for m in margins if m.demand and m.capacity]
        demand, capacity = np.array(sides).T
        return cls(margins[len(margins) // 2], shifts, demand, capacity)

    def corrected(self, demand: float, capacity: float) -> MarginCurve:
        """The curve with its demand and its capacity multiplied by factors."""
        return replace(self, demand=demand * self.demand, capacity=capacity * self.capacity)

    def at(self, shift: np.ndarray, outside: OutsideDiameterEffect | None = None) -> np.ndarray:
        """Margin at shifts, mm, including errors of the outside diameter where given."""
        demand, capacity = (
            _interpolated(shift, self.shifts, side) for side in (self.demand, self.capacity)
        )
        if outside is not None:
            ratio = outside.ratio(self.margin)  # acts on whichever side follows the interference
            if _varies(self.demand):
                demand = demand * ratio
            elif _varies(self.capacity):
                capacity = capacity * ratio
        with np.errstate(divide="ignore", over="ignore"):
            held = np.maximum(capacity, 0.0) / (self.margin.factor * np.maximum(demand, 1e-300)) - 1.0
        return np.where(capacity <= 0.0, NO_GRIP, np.where(demand > 0.0, held, np.inf))


@dataclass(frozen=True)
class Interval:
    """95 % interval of a margin due to the uncertainty of the sizes; inf where there is no demand."""

    low: float
    high: float


def margin_intervals(
    case: Case, study: CaseStudy, checks: Iterable[Check], *, samples: int = SAMPLES
) -> dict[str, Interval]:
    """95 % interval of every assessed margin, by id."""
    errors = study.interference.errors
    outside = outside_errors(case)
    curves = response(case, study, checks, errors.half_width())
    rng = np.random.default_rng(SEED)
    count = samples if errors.components or outside.components else 1
    shift = errors.sample(rng, count)
    effect = OutsideDiameterEffect(study, outside.sample(rng, count)) if outside.components else None
    rows: dict[str, list[MarginCurve]] = {}
    for curve in curves:
        rows.setdefault(curve.margin.id, []).append(curve)
    return {row: Interval(*_quantiles(least_of(cells, shift, effect))) for row, cells in rows.items()}


def least_of(
    cells: Sequence[MarginCurve], shift: np.ndarray, outside: OutsideDiameterEffect | None = None
) -> np.ndarray:
    """Margin of a row at shifts, mm: the least of its cells."""
    return np.asarray(np.minimum.reduce([cell.at(shift, outside) for cell in cells]))


def response(case: Case, study: CaseStudy, checks: Iterable[Check], half: float) -> tuple[MarginCurve, ...]:
    """Curves of the judged cells over shifts of ± half, mm, and 0.

    They are solved on the coarsest mesh, in the states that govern at ± half, and corrected by what the
    check gives there on all meshes.
    """
    ends = evidence_at(case, study, -half, half)
    coarsest = study.coarsest_only()
    lowest = 1e-3 - study.nominal_interference  # the loosest fit with contact
    shifts = sorted({max(s, min(lowest, 0.0)) for s in (-half, 0.0, half)})
    curves: list[MarginCurve] = []
    for check in checks:
        row = Row(check, evidence_at(case, coarsest, -half, half))
        for cell in check(ends).cells:
            curve = row.curve(cell, shifts)
            if curve is not None:
                curves.append(curve)
    return tuple(curves)


class Row:
    """One check on the coarsest mesh, at shifts of the interference; each is solved once for all cells.

    ends: with the loosest and the tightest fit, for which cells may be corrected by finer meshes.
    """

    def __init__(self, check: Check, ends: Evidence) -> None:
        self._check, self._ends = check, ends
        self._at: dict[float, dict[Stage, Margin]] = {}
        self._coarse = _by_stage(check(ends))

    def curve(self, cell: Margin, shifts: Sequence[float]) -> MarginCurve | None:
        """The curve of a cell as judged on all meshes; None where it is not judged at every shift."""
        coarse = self._coarse.get(cell.stage)
        if coarse is None or any(cell.stage not in self.at(shift) for shift in shifts):
            return None
        row = {shift: self.at(shift)[cell.stage] for shift in shifts}
        _halve_steps(row, lambda shift: self.at(shift).get(cell.stage))
        at = sorted(row)
        curve = MarginCurve.through([row[shift] for shift in at], np.array(at))
        return curve.corrected(_ratio(cell.demand, coarse.demand), _ratio(cell.capacity, coarse.capacity))

    def at(self, shift: float) -> dict[Stage, Margin]:
        """The cells at a shift, mm, by stage."""
        if shift not in self._at:
            evidence = evidence_at(self._ends.case, self._ends.study, shift, shift)
            self._at[shift] = _by_stage(self._check(evidence))
        return self._at[shift]


def _by_stage(row: Margin) -> dict[Stage, Margin]:
    return {cell.stage: cell for cell in row.cells}


def _ratio(fine: Estimate | None, coarse: Estimate | None) -> float:
    """Finest to coarsest value of a demand or capacity; 1 where there is none."""
    return fine.value / coarse.value if fine and coarse and coarse.value else 1.0


def _halve_steps(row: dict[float, Margin], at: Callable[[float], Margin | None]) -> None:
    """Add shifts to one cell, by shift in mm, where it deviates from straight lines."""
    for _ in range(MAX_HALVINGS):
        midpoints = _steps_to_halve(sorted(row), row)
        if not midpoints:
            return
        row |= {shift: cell for shift in midpoints if (cell := at(shift)) is not None}


def _steps_to_halve(at: list[float], row: dict[float, Margin]) -> list[float]:
    """Midpoints of the steps on either side of a shift where a value deviates from the straight line."""
    midpoints = set()
    for a, b, c in zip(at[:-2], at[1:-1], at[2:], strict=True):
        if c - a < 1e-5:
            continue
        for side in ("demand", "capacity"):
            values = [getattr(row[shift], side) for shift in (a, b, c)]
            straight = values[0].value + (values[2].value - values[0].value) * (b - a) / (c - a)
            largest = max(abs(v.value) for v in values)
            # halving the step quarters the deviation
            if abs(values[1].value - straight) > 4.0 * LINEARITY_TOLERANCE * largest:
                midpoints |= {0.5 * (a + b), 0.5 * (b + c)}
    return sorted(midpoints)


def _interpolated(x: np.ndarray, at: np.ndarray, value: np.ndarray) -> np.ndarray:
    if len(at) < 2 or not _varies(value):
        return np.full(np.shape(x), value[0])
    found = np.interp(x, at, value)
    below, above = np.flatnonzero(x < at[0]), np.flatnonzero(x > at[-1])
    found[below] = value[0] + (x[below] - at[0]) * (value[1] - value[0]) / (at[1] - at[0])
    found[above] = value[-1] + (x[above] - at[-1]) * (value[-1] - value[-2]) / (at[-1] - at[-2])
    return found


def _varies(value: np.ndarray) -> bool:
    return bool(np.ptp(value) > 1e-9 * np.max(np.abs(value), initial=1e-300))


def _quantiles(values: np.ndarray) -> tuple[float, float]:
    if len(values) == 1 or values.min() == values.max():
        return float(values[0]), float(values[0])
    low = 0.5 - 0.5 * CONFIDENCE
    last = len(values) - 1
    ranks = [round(low * last), round((1.0 - low) * last)]
    in_order = np.partition(values, ranks)
    return float(in_order[ranks[0]]), float(in_order[ranks[1]])
