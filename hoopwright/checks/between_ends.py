"""The friction and the interference between the ends of their ranges at which friction leaves the most.

What heat and cold leave in a seat is locked in by friction: where the seat sticks it does not depend on
friction, where it slips it is what friction carries. A stress may therefore be greatest between the least
and the greatest friction, and between the loosest and the tightest fit, where neither end has it. Without
friction the fit is linear in the interference, and an end is the worst.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import product
from math import inf

from hoopwright.checks.evidence import Evidence
from hoopwright.fit import ALIKE, FitSolution
from hoopwright.service.study import ServiceSolution, Spot, Superposed
from hoopwright.state import State

COARSE, FINE = 2, 4
"""Into how many each range is divided: first, and where the greatest is not at ends of both."""


def worst_between(evidence: Evidence, state: State, read: Callable[[State], float]) -> State:
    """The state with the greatest value on the path of the one found at the ends, over the ranges of
    friction and interference; the one found where none does clearly more. read: on the coarsest mesh.

    A joint whose sleeve is finished after pressing is left as it was found: its path begins with the
    friction of the case.
    """
    if state.path is None or evidence.case.sleeve.finished_later:
        return state

    @cache
    def value(friction: float, shift: float) -> float:
        at = _between(state, friction, shift)
        return read(at) if evidence.is_carried(at) else -inf

    ranges = (_range_of_friction(evidence), (evidence.least, evidence.greatest))
    for steps in (COARSE, FINE):
        frictions, shifts = (_places(low, high, steps) for low, high in ranges)
        friction, shift = max(product(frictions, shifts), key=lambda at: value(*at))
        peaks = (
            (_peak(frictions, [value(one, shift) for one in frictions]), shift),
            (friction, _peak(shifts, [value(friction, one) for one in shifts])),
        )
        if all(at == (friction, shift) for at in peaks):
            break
    best = max(((friction, shift), *peaks), key=lambda at: value(*at))
    return _between(state, *best) if value(*best) > (1.0 + ALIKE) * read(state) else state


def between_ends(
    evidence: Evidence, found: Superposed, read: Callable[[FitSolution, ServiceSolution], Spot]
) -> Superposed:
    """The same of a fit with the service loads on it."""

    def at(state: State) -> Superposed:
        return replace(found, fit=evidence.study.at(state))

    return at(worst_between(evidence, found.fit.state, lambda one: read(*at(one).coarsest).value))


def _range_of_friction(evidence: Evidence) -> tuple[float, float]:
    return evidence.case.fit.friction_low, evidence.case.fit.friction_high


def _between(state: State, friction: float, shift: float) -> State:
    """The state on the same path with another friction and interference; with the same friction while it
    was pushed in, where that was the same."""
    path = state.path
    assert path is not None
    pushed_with = friction if path.pushed_with == path.friction else path.pushed_with
    return replace(state, shift=shift, path=replace(path, friction=friction, pushed_with=pushed_with))


def _places(low: float, high: float, steps: int) -> tuple[float, ...]:
    return tuple(low + k / steps * (high - low) for k in range(steps + 1)) if low < high else (low,)


def _peak(places: tuple[float, ...], values: list[float]) -> float:
    """The place of the peak of the parabola through the greatest of values in even steps and its
    neighbours, or through the three nearest; that of the greatest where it has none inside."""
    greatest = max(range(len(values)), key=values.__getitem__)
    if len(values) < 3:
        return places[greatest]
    k = min(max(greatest, 1), len(values) - 2)
    before, here, after = values[k - 1 : k + 2]
    bend = 2.0 * here - before - after
    if not 0.0 < bend < inf:
        return places[greatest]
    peak = places[k] + 0.5 * (places[1] - places[0]) * (after - before) / bend
    return peak if places[0] < peak < places[-1] else places[greatest]
