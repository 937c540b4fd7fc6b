"""Step 9, Press: what the gauge should show at the next mark of travel, every reading as it is called out,
and a stop that stands until it is answered."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.display import margin_text
from hoopwright.page.fields import field
from hoopwright.page.model import Bench, Document, Mark, Step
from hoopwright.page.press_entry import ACTIONS
from hoopwright.page.press_state import PressState, press_state
from hoopwright.page.steps.common import is_given, mark_of
from hoopwright.page.steps.groups import Group, together
from hoopwright.page.views.press import desk_of, desk_version, sheet_of
from hoopwright.page.views.press_inference import found_of, heat_of
from hoopwright.page.views.words import capital, typeset

TABLES = ("press", "proof")
PUSHED = {
    "press.ram_diameter": "ram of the press",
    "press.gauge_division": "smallest division of its gauge",
    "press.gauge_accuracy": "error of the gauge, as a share",
    "press.calibration": "how gauge and ram were checked",
    "press.capacity": "greatest force of the press",
    "press.temperature": "parts and shop while pressing",
    "press.friction_low": "least friction while pressing",
    "press.friction_high": "greatest friction while pressing",
    "press.friction_likely": "likely friction while pressing",
    "press.restart_ratio": "breaking loose, times sliding",
    "press.enters_from": "sleeve goes in from",
    "press.observed_closure": "bore of the sleeve closed by",
    "press.closure_plus_minus": "uncertainty of that",
}
PEAKS = {
    "press.observed_peak": "greatest force that was read",
    "press.observed_gauge": "greatest gauge reading",
}
"""Shown where the case gives one, since a log cannot stand beside it."""
SLIPPED = {
    "press.temperature": "bench and shop",
    "press.heat.shell_most": "shell heated to at most",
    "press.heat.sleeve_cold": "sleeve cooled to",
    "press.heat.clearance": "gap wanted to slip in",
    "press.enters_from": "sleeve goes in from",
}
PROOF = {
    "proof.push": "pushed with",
    "proof.torque": "or turned with",
    "proof.slipped": "the witness mark moved",
}


def view(bench: Bench) -> Mapping[str, Any]:
    state, plan = press_state(bench), bench.answer("plan")
    current = plan is not None and bench.case is not None and bench.is_current("plan")
    slips = bench.case is not None and bench.case.press.slips_in
    peaks = {path: label for path, label in PEAKS.items() if is_given(bench, path)}
    paths = SLIPPED if slips else peaks | PUSHED
    return {
        "file": bench.file,
        "digest": bench.seen,
        "query": bench.query,
        "step_id": "press",
        "slips": slips,
        "desk": desk_of(bench, state, plan) if plan is not None and state.line is not None else None,
        "desk_version": desk_version(bench, state),
        "says": _says(bench, state, plan if current else None),
        "sheet": sheet_of(bench, state),
        "do_not": _do_not(plan, bench) if plan is not None and current else "",
        "way_in": _way_in(plan, bench) if plan is not None and current else "",
        "advice": [typeset(line) for line in plan["advice"]] if plan is not None and current else [],
        "found": found_of(bench),
        "waits": _waits(bench, state),
        "heat": heat_of(plan, bench.units) if plan is not None and current else None,
        "drops_in": _drops_in(bench) if slips else "",
        "about": Group("", tuple(field(bench, path, label, step="press") for path, label in paths.items())),
        "about_open": bool(peaks),
        "proof": _proof(bench),
        "faults": _faults(bench, state),
    }


def mark(bench: Bench) -> Mark:
    if bench.case is None or bench.case.press.slips_in:
        return mark_of(bench, TABLES, int(bench.case is not None), 1)
    state = press_state(bench)
    if state.stop is not None or (state.log.problem and state.log.beside.digest):
        return "fault"
    last = state.log.last
    home = last is not None and state.line is not None and state.line.is_home(last.travel)
    return mark_of(bench, TABLES, int(last is not None) + int(home), 2)


def _proof(bench: Bench) -> Group:
    """What the joint was loaded with once it was in: all at once, while nothing is given."""
    fields = tuple(field(bench, path, label, step="press") for path, label in PROOF.items())
    note = "one of the two loads; the record's sheet says how much is enough"
    return Group("Proof", fields, note) if "proof" in bench.tables else together("Proof", fields, note)


def _says(bench: Bench, state: PressState, plan: Document | None) -> str:
    """Why there is nothing to press by; "" where there is, or it slips in."""
    if state.line is not None:
        return ""
    if bench.case is None:
        return "The case has a fault. What the press should show is told once it is put right."
    if bench.case.press.slips_in:
        return "" if plan is not None else "The temperatures are being computed."
    if plan is not None:
        return "Nothing bears anywhere on the way in: these sizes leave no interference to press against."
    if bench.failed and bench.at_work is None:
        return f"No stop line: {bench.failed}"
    old = " The sizes have changed since the last one." if bench.answer("plan") is not None else ""
    rule = "Nothing is pressed, and no reading taken, until it stands here."
    return f"The stop line is being computed.{old} {rule}"


def _do_not(plan: Document, bench: Bench) -> str:
    """What fails by the time it is in, and whose values these are."""
    cells = plan["failing"]
    verb = "Do not slip it in" if plan["method"] == "heat" else "Do not press"
    if not cells and plan["undecided"]:
        return typeset(f"{verb} yet: {'; '.join(plan['undecided'])}.")
    if not cells:
        sample = bench.case is not None and bench.case.sample
        return f"{verb} by these: they are sample values of a starter." if sample else ""
    names = ", ".join(f"{c['title']} ({c['stage']}, {margin_text(c['margin'])})" for c in cells)
    return typeset(f"{verb}: {names}.")


def _way_in(plan: Document, bench: Bench) -> str:
    curve = plan["force_against_travel"]
    if curve is None:
        return ""
    case = bench.case
    other = {"left": "right", "right": "left"}[curve["enters_from"]]
    lands = case is not None and len(case.sleeve.outside) > 1
    first = f", {other} end first" if lands else ""
    return f"From the {curve['enters_from']}{first}. One calls out, one types: do not let it rest."


def _waits(bench: Bench, state: PressState) -> str:
    """Why what was read says nothing yet."""
    if not state.log.rows:
        return ""
    if not state.log.named:
        return "What was read is not counted yet."
    if not bench.is_current("press"):
        return (
            f"No answer: {bench.failed}"
            if bench.failed
            else "What was read is being held against the case."
        )
    return ""


def _drops_in(bench: Bench) -> str:
    """The row of the check about slipping in."""
    check = bench.answer("check")
    if check is None or not bench.is_current("check"):
        return "Whether it drops in is not judged yet."
    row = next((row for row in check["checks"] if row["id"] == "drops_in"), None)
    if row is None or row["margin"] is None:
        return ""
    word = "undecided" if row["state"] == "unresolved" else row["state"]
    return typeset(f"{capital(row['title'])}: {margin_text(row['margin'])}, {word}.")


def _faults(bench: Bench, state: PressState) -> tuple[str, ...]:
    """What keeps readings from being taken, and what was not written, where no field says it."""
    words = [state.log.problem] if state.log.problem else []
    lost = bench.rejected.get("press.log")
    if lost is not None and (state.line is None or state.stop is not None):
        words.append(f"{lost[0]}: {lost[1]}")
    units = bench.rejected.get("press.gauge_unit")
    if units is not None:
        words.append(f"press.gauge_unit: {units[1]}")
    return tuple(words)


STEP = Step("press", 9, "Press", "At the machine", ("plan", "press", "check"), view, mark, actions=ACTIONS)
