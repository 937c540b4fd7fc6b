"""The working of a row as a part of a JSON document."""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import Case
from hoopwright.checks import Evidence, Margin
from hoopwright.document.plain import Given
from hoopwright.rows.working import working_of
from hoopwright.working import ByHand, Line, Working

READINGS = "readings of "
"""What the source of a measured size begins with."""


def working_part(evidence: Evidence, row: Margin) -> dict[str, Any] | None:
    """The lines from the inputs to the margin, and the nearest hand formula; None for a row that the case
    lacks the input for.

    Expressions are in the symbols of the lines above them and give the values in the units of the lines,
    lengths in mm, forces in N and stresses in MPa.
    """
    if row.demand is None and row.capacity is None:
        return None
    found = working_of(evidence, row)
    if found is None:
        return None
    return {
        "lines": [_line_part(line, evidence.case) for line in found.lines],
        "by_hand": _hand_part(found, found.by_hand, evidence.case)
        if found.by_hand and found.has(found.by_hand.beside)
        else None,
        "loads_by_hand": [
            _hand_part(found, hand, evidence.case) for hand in found.loads_by_hand if found.has(hand.beside)
        ],
    }


def _hand_part(found: Working, hand: ByHand, case: Case) -> dict[str, Any]:
    return {
        "title": hand.title,
        "lines": [_line_part(line, case) for line in hand.lines],
        "beside": hand.beside,
        "ratio": found.over(hand),
        "reason": hand.reason,
    }


def _line_part(line: Line, case: Case) -> dict[str, Any]:
    origin, source = _given_by(line, case)
    return {
        "symbol": line.symbol,
        "meaning": line.meaning,
        "value": line.value if line.origin in (None, "finite elements") else Given(line.value),
        "unit": line.unit,
        "expression": line.expression or None,
        "origin": origin,
        "source": source,
    }


def _given_by(line: Line, case: Case) -> tuple[str | None, str]:
    """Origin and source of a line; of what the case gives, whether it was read, or a preset gave it."""
    if line.origin != "case":
        return line.origin, line.source
    if line.source.startswith(READINGS):
        return "measured", line.source
    for value in case.presets.filled:
        if line.source == f"{value.heading} {value.key}":
            return "preset", f"{line.source}, {value.preset}"
    return line.origin, line.source
