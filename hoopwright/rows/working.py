"""The working of any row, that of a further one held against the margin it is to lead to."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import get_args

from hoopwright.checks import Evidence, Margin
from hoopwright.errors import RowError
from hoopwright.rows.installed import installed_row, raised, row_fault
from hoopwright.rows.judging import OURS
from hoopwright.rows.model import InstalledRow
from hoopwright.working import WORKINGS, ByHand, Line, Working
from hoopwright.working.sheet import Origin

ALIKE = 1e-6


def working_of(evidence: Evidence, row: Margin) -> Working | None:
    """How the margin of a row with a demand or a limit follows from its inputs; None for one that has no
    working, as of a route without a sleeve.

    Raises RowError where that of a further row raises, or leads elsewhere.
    """
    if row.id in WORKINGS:
        return WORKINGS[row.id](evidence, row)
    one = installed_row(row.id)
    return None if one is None else _of_further_row(one, evidence, row)


def _of_further_row(one: InstalledRow, evidence: Evidence, row: Margin) -> Working:
    try:
        found = one.row.working(evidence, row)
        wrong = next(_wrong_in(found, row), "")
    except OURS:
        raise
    except (Exception, SystemExit) as error:
        raise _fault(one, raised(error)) from error
    if wrong:
        raise _fault(one, wrong)
    return found


def _fault(one: InstalledRow, wrong: str) -> RowError:
    advice = f"mend it or uninstall {one.distribution}"
    return row_fault(one.distribution, one.entry_point, f"its working {wrong}", advice)


def _wrong_in(found: Working, row: Margin) -> Iterator[str]:
    """What is wrong with the working of a further row."""
    if type(found) is not Working:
        yield f"gave {type(found).__name__}, no Working"
        return
    hand = found.by_hand
    for line in (*found.lines, *(hand.lines if hand else ())):
        if type(line) is not Line or math.isnan(line.value) or line.origin not in (None, *get_args(Origin)):
            yield f"gave a line that is none: {line!r}"
            return
    values = {line.symbol: line.value for line in found.lines}
    for symbol, side in (("demand", row.demand), ("limit", row.capacity)):
        if side is not None:
            yield from _elsewhere(symbol, values.get(symbol), side.value)
    if row.margin is not None and "margin" in values:
        yield from _elsewhere("margin", values["margin"], row.margin)
    if hand is not None and (
        not isinstance(hand, ByHand) or hand.lines[-1].symbol != "hand" or hand.beside not in values
    ):
        yield "gave a formula by hand that does not end in `hand`, beside a line of its own"


def _elsewhere(symbol: str, worked: float | None, judged: float) -> Iterator[str]:
    if worked is None:
        yield f"has no line {symbol}"
    elif not math.isclose(worked, judged, rel_tol=ALIKE, abs_tol=ALIKE):
        yield f"leads to {symbol} = {worked:.6g} where its check gives {judged:.6g}"
