"""What the curves of a case say at an interference. static/fit.js does the same in the browser.

It never says that a cell holds: that word comes from a check alone.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from math import inf
from typing import Any, Literal

from hoopwright.page.model import Document

State = Literal["clear", "undecided", "fails", "needs a solve"]
"""clear: away from its limit, as far as a curve can tell."""
SAME = 1e-6
"""Difference, µm, below which an interference is one that was solved."""


@dataclass(frozen=True)
class Reading:
    """A cell as its curve has it. margin: None where the curve cannot tell."""

    margin: float | None
    state: State


def reading(curves: Document, cell: dict[str, Any], um: float) -> Reading:
    """A cell of the curves at a likely effective interference, µm."""
    at: list[float] = curves["interference_um"]
    k = min(max(bisect_right(at, um) - 1, 0), len(at) - 2)
    if um < at[0] - SAME or um > at[-1] + SAME:
        return Reading(None, "needs a solve")
    solved = next((i for i in (k, k + 1) if abs(um - at[i]) < SAME), None)
    if solved is not None:
        return _judged(curves, cell, 1.0, solved, solved)
    if cell["bends"][k]:
        return Reading(None, "needs a solve")
    return _judged(curves, cell, (at[k + 1] - um) / (at[k + 1] - at[k]), k, k + 1)


def _judged(curves: Document, cell: dict[str, Any], share: float, a: int, b: int) -> Reading:
    """share: of what was solved at a; the rest is of b."""

    def between(side: str) -> float:
        return float(share * cell[side][a] + (1.0 - share) * cell[side][b])

    demand, capacity = between("demand"), between("capacity")
    margin = (
        -1.0 if capacity <= 0.0 else inf if demand <= 0.0 else capacity / (cell["factor"] * demand) - 1.0
    )
    allowed = between("numerical_error")
    if a != b and margin < inf:
        allowed += curves["tolerance"] * max(1.0, 1.0 + margin)
    if margin < -allowed or capacity <= 0.0:
        return Reading(margin, "fails")
    if margin <= allowed or cell["doubt"][a] or cell["doubt"][b]:
        return Reading(margin, "undecided")
    return Reading(margin, "clear")


def cell_of(curves: Document, named: dict[str, str] | None) -> dict[str, Any] | None:
    """The curve of a cell that is named by row and stage; None where it has none."""
    if named is None:
        return None
    cells = (c for c in curves["cells"] if c["id"] == named["id"] and c["stage"] == named["stage"])
    return next(cells, None)


def least(curves: Document, um: float) -> tuple[dict[str, Any], Reading] | None:
    """The cell nearest to its limit or furthest beyond it, of those that the curves can tell."""
    found = [(cell, reading(curves, cell, um)) for cell in curves["cells"]]
    known = [one for one in found if one[1].margin is not None]
    return min(known, key=lambda one: (one[1].state != "fails", one[1].margin), default=None)
