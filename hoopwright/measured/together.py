"""Several errors at once: the chance that all of them stay within limits, and limits that hold all of them.

Errors have causes. What a gauge does wrong it does on every land that it reads, and a part that is warmer
than thought is so as a whole: such causes are in several errors together. The scatter of readings belongs
to each land alone. Where all errors are one and the same, or none has a cause in common with another,
chance and limits are exact; between the two they are sampled, with a fixed seed, as the difference from the
exact chance of the least certain one.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import prod

import numpy as np
from scipy.optimize import brentq

from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent

SAMPLES = 65_536
"""Their number adds a standard error of 0.001 to a chance of 0.95."""
SEED = 20


@dataclass(frozen=True)
class CausedError:
    """An error as a sum of components, each with its cause; a cause in several errors is the same in all of
    them, with the scale that it has in each."""

    parts: tuple[tuple[Hashable, UncertaintyComponent], ...]

    @property
    def budget(self) -> UncertaintyBudget:
        return UncertaintyBudget(tuple(part for _, part in self.parts))

    @property
    def causes(self) -> set[Hashable]:
        return {cause for cause, part in self.parts if part.scale > 0.0}

    def plus(self, other: CausedError) -> CausedError:
        return CausedError(self.parts + other.parts)

    def scaled(self, factor: float) -> CausedError:
        return CausedError(tuple((c, replace(p, scale=p.scale * factor)) for c, p in self.parts))


def caused(errors: UncertaintyBudget, part: str, land: Hashable) -> CausedError:
    """The error of a land, with the causes that it shares with other lands of its part.

    land: what tells it from those.
    """
    return CausedError(
        tuple(
            ((part, p.common) if p.common else (part, land, k, p.name), p)
            for k, p in enumerate(errors.components)
        )
    )


def chance_together(errors: Sequence[CausedError], low: float, high: float) -> float:
    """Probability that all errors lie between low and high."""
    distinct = list(dict.fromkeys(errors))
    each = [e.budget.probability(low, high) for e in distinct]
    if len(distinct) < 2:
        return min(each, default=1.0)
    if _apart(distinct):
        return prod(each)
    inside = np.array([(low <= e) & (e <= high) for e in _samples(distinct)])
    least = int(np.argmin(each))
    lost = float(np.mean(inside[least] & ~inside.all(axis=0)))
    return max(each[least] - lost, 0.0)


def widening_together(
    errors: Sequence[CausedError], half_widths: Sequence[float], confidence: float
) -> float:
    """Factor on the half-widths of the errors, each of which holds its own with a confidence, so that all
    hold at once with it. At least 1."""
    rows = list(dict.fromkeys((e, h) for e, h in zip(errors, half_widths, strict=True) if h > 0.0))
    if len(rows) < 2:
        return 1.0
    if _apart([e for e, _ in rows]):
        return _apart_widening([(e.budget, h) for e, h in rows], confidence)
    ratios = np.abs(_samples([e for e, _ in rows])) / np.array([h for _, h in rows])[:, None]
    alone = max(float(np.quantile(ratio, confidence)) for ratio in ratios)
    return float(np.quantile(ratios.max(axis=0), confidence)) / alone


def _apart_widening(rows: Sequence[tuple[UncertaintyBudget, float]], confidence: float) -> float:
    def excess(factor: float) -> float:
        return prod(b.probability(-factor * h, factor * h) for b, h in rows) - confidence

    greatest = max(b.half_width(confidence ** (1.0 / len(rows))) / h for b, h in rows)
    return float(brentq(excess, 1.0, max(greatest, 1.0) + 1e-6, xtol=1e-6)) if excess(1.0) < 0.0 else 1.0


def _apart(errors: Sequence[CausedError]) -> bool:
    """Whether no two errors have a cause in common."""
    return not any(a.causes & b.causes for a, b in combinations(errors, 2))


def _samples(errors: Sequence[CausedError]) -> np.ndarray:
    """Samples of all errors, one row each."""
    found = np.zeros((len(errors), SAMPLES))
    kinds = {cause: part for error in errors for cause, part in error.parts}
    for k, (cause, kind) in enumerate(kinds.items()):
        unit = replace(kind, scale=1.0).sample(np.random.default_rng([SEED, k]), SAMPLES)
        for row, error in zip(found, errors, strict=True):
            row += sum(part.scale for own, part in error.parts if own == cause) * unit
    return found
