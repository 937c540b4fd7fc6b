"""Alternatives to compare: the routes of a case, or its sleeve in materials the user names."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from hoopwright.case.model import Case
from hoopwright.errors import CaseError, Fault
from hoopwright.materials import Material, table
from hoopwright.one_thread import one_thread
from hoopwright.sizing.routes import RouteResult, compare_routes, compare_sleeves


@one_thread()
def compare_alternatives(case: Case, sleeves: Sequence[str] = ()) -> tuple[RouteResult, ...]:
    """Results for the sleeve in each material named, or for the routes of the case where none is named.

    Raises CaseError for an unknown material, and where there is nothing to compare.
    """
    if sleeves:
        return compare_sleeves(case, [material(case, name) for name in sleeves])
    if not case.routes:
        advice = 'list routes in the file, or name materials: --sleeves "E355 steel" "7075-T6"'
        raise CaseError((Fault(case.file, "[[route]]", "", "no route to compare", advice),))
    return compare_routes(case, case.routes)


def material(case: Case, name: str) -> Material:
    """The material of that name, from the table or the case. Raises CaseError for an unknown one."""
    beside = () if case.materials_file is None else case.materials_file.materials
    own = {m.name: m for m in (*beside, case.sleeve_material, case.shell_material)}
    known = {**table(), **own}
    if name in known:
        return _with_density(case, known[name])
    suggestions = difflib.get_close_matches(name[:60], list(known), n=3, cutoff=0.4)
    advice = (
        "write " + " or ".join(f'"{c}"' for c in suggestions)
        if suggestions
        else "run `hoopwright materials`"
    )
    raise CaseError((Fault("--sleeves", "", name[:60], "not a known material", advice),))


def _with_density(case: Case, found: Material) -> Material:
    """The material, which must have a density where the sleeve slips in by heat."""
    if case.press.slips_in and found.density is None:
        problem = "its density is missing, and a sleeve that slips in by heat shares its heat by mass"
        raise CaseError((Fault("--sleeves", "", found.name, problem, "give it where the material stands"),))
    return found
