"""A retaining compound as a way out: only as far as the case states one, with no credit of our own."""

from __future__ import annotations

from collections.abc import Iterable

from hoopwright.came_out.way import Way
from hoopwright.came_out.ways import way
from hoopwright.case.model import Case
from hoopwright.checks.margin import Margin

HELPED = ("pushed_out", "turned", "slips_combined", "joint_slips")
"""Rows that a credited compound counts in."""
OF_THE_SEAT = {
    "credit": "credit",
    "combination": "combination",
    "gap_min": "gap_least",
    "gap_max": "gap_most",
    "temperature_min": "temperature_least",
    "temperature_max": "temperature_most",
    "full_cure_time": "full_cure",
    "cure_temperature_min": "cure_least",
    "cure_time": "cured_for",
}
"""Field of a compound and its key, of those that a credit needs."""


def compound(case: Case, rows: Iterable[Margin]) -> Way:
    """What a compound would do for the parts as they are. rows: of these."""
    stated = case.compound
    if stated is not None and stated.credit:
        return way("compound", "cannot be done", "its credit is counted in every margin here already")
    not_helped = [m.title for m in rows if m.state in ("fails", "unresolved") and m.id not in HELPED]
    if not_helped:
        return way(
            "compound",
            "cannot be done",
            f"it holds against sliding and turning only, and does nothing for: {', '.join(not_helped)}",
        )
    keys = [key for name, key in OF_THE_SEAT.items() if not getattr(stated, name, None)]
    if stated is None:
        keys.insert(0, "shear_strength")
    return way(
        "compound",
        "not judged",
        f"to have it judged, state {', '.join(keys)} under [compound], as its maker does for this gap, "
        "these metals and this heat; until then it counts for nothing",
    )
