"""Where a rising function of one variable crosses zero.

As by scipy.optimize, whose import takes longer than all that a case asks of it.
"""

from __future__ import annotations

from collections.abc import Callable

CLOSE = 1e-12
"""Share of the upper end by which a crossing may be off."""


def crossing(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that is not above zero at `low` and not below it at `high` crosses it.

    Regula falsi, in which the value at an end that stays is halved (the Illinois rule: Dowell & Jarratt,
    BIT 11 (1971), from memory, not seen).

    >>> round(crossing(lambda x: x * x - 2.0, 0.0, 2.0), 12)
    1.414213562373
    """
    stays, value_there, at, value = low, function(low), high, function(high)
    if value_there >= 0.0 or value <= 0.0:
        return high if value <= 0.0 else low
    while value and abs(at - stays) > CLOSE * high:
        step = value * (at - stays) / (value - value_there)
        before, at = value, at - step
        value = function(at)
        if value * before < 0.0:
            stays, value_there = at + step, before
        else:
            value_there *= 0.5
        if abs(step) <= CLOSE * high:
            break
    return at
