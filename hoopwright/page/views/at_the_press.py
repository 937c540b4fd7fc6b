"""What readings that no check counts yet take from a verdict."""

from __future__ import annotations

from hoopwright.page.model import Bench
from hoopwright.page.press_entry import can_count, stop_there
from hoopwright.page.press_state import press_state


def doubt_of(bench: Bench) -> str:
    """Why nothing is said to hold whatever was computed, in one sentence; "" where nothing was read that
    stands against it. A log that the case names is counted by the check; here it is one above the stop
    line that waits for its answer, and what lies beside the case and is not named."""
    if bench.case is None or bench.case.press.slips_in:
        return ""
    state = press_state(bench)
    found = state.waiting if state.log.named else state.above
    if found:
        one = found[-1]
        return (
            f"The press read {one.said}, where the stop line is {stop_there(one)}. Nothing is said to hold "
            "until that is explained."
        )
    if not state.log.named and state.log.beside.digest and state.log.problem:
        return f"Readings of the press lie beside this case and cannot be read: {state.log.problem}."
    if not state.log.named and state.log.rows and state.line is None:
        return "Readings of the press lie beside this case, and are not held against its plan yet."
    if can_count(bench, state):
        return (
            f"Readings of the press lie beside this case in {state.log.beside.name}; it does not name them."
        )
    return ""
