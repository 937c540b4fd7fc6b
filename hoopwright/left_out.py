"""What is needed for a joint to be said to hold, and what of it a case leaves out."""

from __future__ import annotations

from collections.abc import Sequence

from hoopwright.case.load_cases import service_loads, type_without_source
from hoopwright.case.model import Case
from hoopwright.checks import Margin
from hoopwright.clamp_edges import unjudged_under_loads
from hoopwright.measured.form_prior import too_few
from hoopwright.suspected import said_first

HOLDING = ("pushed_out", "turned", "slips_combined")
OWN_LIMITS = {
    "wall_left": "least wall",
    "bore_closure": "greatest bore closure",
    "press_force": "capacity of the press",
}
"""Rows against limits that are the user's own, and what these are called; they never decide what is
needed."""


def keeps_from_holding(case: Case, rows: Sequence[Margin]) -> tuple[str, ...]:
    """Why a case can hold as far as judged at best, each reason as a clause; empty where it can hold."""
    samples = ("the values are samples",) if case.sample else ()
    return samples + left_out(case, rows)


def with_grounds_named(case: Case, verdict: str) -> str:
    """A verdict that begins with readings that stand out, and then with what it rests on, where that is not
    all the user's own values, and ends with what was read in too few places."""
    verdict += _read_too_little(case)
    presets = f"values from presets ({', '.join(case.presets.names)})" if case.presets.filled else ""
    parts = ("sample values" if case.sample else "", presets, _loads_without_source(case))
    grounds = " and ".join(part for part in parts if part)
    said = f"{grounds[0].upper()}{grounds[1:]}: {verdict}" if grounds else verdict
    suspects = said_first(case)
    return f"{suspects}: {said}" if suspects else said


def _read_too_little(case: Case) -> str:
    """The lands read in one direction or at one station only, as a sentence; "" where there are none."""
    lands: dict[str, list[str]] = {}
    for land in (*case.shell_measured, *case.sleeve_measured):
        few = too_few(land.readings)
        if few:
            lands.setdefault(few, []).append(f"the {land.part}'s {land.surface}, land {land.index + 1}")
    if not lands:
        return ""
    read = "; ".join(f"{' and '.join(names)}, only {few}" for few, names in lands.items())
    return (
        f" Read too little to show its form: {read}. What is usual of how it was cut counts in its ±; "
        "three directions at three stations would show it."
    )


def _loads_without_source(case: Case) -> str:
    """The pedalling test where no source is published for its type, in words; "" elsewhere."""
    bicycle = type_without_source(case.service)
    return f"loads of a {bicycle} bicycle, for which no source is published" if bicycle else ""


def left_out(case: Case, rows: Sequence[Margin]) -> tuple[str, ...]:
    """What of the following was not judged, each as a clause: a range of temperature in use; a service
    load, or a reason why there is none; something the fit must hold; parts that lie beside the edges of a
    clamp; fatigue where a load repeats."""
    found = []
    if case.temperatures is None:
        found.append("no range of temperature in use is given")
    if case.service is None and not case.no_service:
        found.append("no service load is given")
    if not any(row.id in HOLDING and row.margin is not None for row in rows):
        found.append("nothing is given that the fit must hold")
    found += [f"the {part} was not judged under loads" for part in unjudged_under_loads(case)]
    found += _fatigue_not_judged(case, rows)
    return tuple(found)


def own_limits_not_given(rows: Sequence[Margin]) -> tuple[str, ...]:
    """The user's own limits for which the case gives none."""
    return tuple(OWN_LIMITS[row.id] for row in rows if row.id in OWN_LIMITS and row.margin is None)


def _fatigue_not_judged(case: Case, rows: Sequence[Margin]) -> list[str]:
    """The bodies whose fatigue a repeating load asks for and which lack the data, and the loads that lack a
    number of cycles where others have one."""
    cycles = service_loads(case.service, case.shell, case.sleeve).cycles
    if not cycles:
        return []
    judged = {row.id for row in rows if row.margin is not None}
    missing = [
        f"{body} fatigue was not judged"
        for body in ("shell", "sleeve")
        if f"{body}_fatigue_sines" not in judged
    ]
    if any(one.count for one in cycles):
        missing += [
            f"fatigue under '{one.name}' was not judged (no cycles)" for one in cycles if not one.count
        ]
    return missing
