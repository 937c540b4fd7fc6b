"""Alternatives to compare: the routes of a case, or its sleeve in materials the user names."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from hoopwright.case.faults import CaseError, Fault
from hoopwright.case.model import Case
from hoopwright.materials import Material, table
from hoopwright.sizing.routes import RouteResult, compare_routes, compare_sleeves


def compare_alternatives(case: Case, sleeves: Sequence[str] | None) -> tuple[RouteResult, ...]:
    """Results for the sleeve in each material named, or for the routes of the case where none is named.

    Raises CaseError for an unknown material.
    """
    if sleeves:
        return compare_sleeves(case, [material(case, name) for name in sleeves])
    return compare_routes(case, case.routes)


def material(case: Case, name: str) -> Material:
    """The material of that name, from the table or the case. Raises CaseError for an unknown one."""
    own = {m.name: m for m in (case.sleeve_material, case.shell_material)}
    known = {**table(), **own}
    if name in known:
        return known[name]
    suggestions = difflib.get_close_matches(name[:60], list(table()), n=3, cutoff=0.4)
    advice = (
        "write " + " or ".join(f'"{c}"' for c in suggestions)
        if suggestions
        else "run `hoopwright materials`"
    )
    raise CaseError((Fault("--sleeves", "", name[:60], "not a known material", advice),))
