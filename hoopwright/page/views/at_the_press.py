"""What readings that no check counts yet take from a verdict."""

from __future__ import annotations

from hoopwright.page.model import Bench
from hoopwright.page.press_entry import can_count, stop_there
from hoopwright.page.press_state import PressState, press_state
from hoopwright.pressing.press_log import MIN_ROWS


def doubt_of(bench: Bench) -> str:
    """Why nothing is said to hold whatever was computed, in one sentence; "" where nothing was read that
    stands against it. A log that the case names is counted by the check; here it is one above the stop
    line that waits for its answer, and what lies beside the case and is not named."""
    if bench.case is None:
        return ""
    state = press_state(bench)
    if bench.case.press.slips_in:
        return _pressed_all_the_same(state)
    found = state.waiting if state.log.named else state.above
    if found:
        one = found[-1]
        return (
            f"The press read {one.said}, where the stop line is {stop_there(one)}. Nothing is said to hold "
            "until that is explained."
        )
    if state.log.rows and not (bench.is_current("plan") if state.log.named else state.line):
        where = "" if state.log.named else " lie beside this case, and"
        return f"Readings of the press{where} are not held against its plan yet."
    return "" if state.log.named else _uncounted(bench, state)


def rows_stand(bench: Bench) -> bool:
    """Whether the rows of the last check may be shown as they are: they are of the case as it stands, and
    nothing that was read at the press takes them back."""
    return bench.is_current("check") and not bench.faults and not doubt_of(bench)


def _pressed_all_the_same(state: PressState) -> str:
    """What readings of a press say of a case by which nothing is pressed: its rows are of another life."""
    if not state.log.beside.digest or not (state.log.rows or state.log.problem):
        return ""
    return (
        f"By this case the sleeve slips in, and {state.log.beside.name} has readings of a press. Nothing "
        "is said to hold until either is put right."
    )


def _uncounted(bench: Bench, state: PressState) -> str:
    """What stands in a log that the case does not name, the stop line apart. One or two readings are too
    few for a check to count; one below the least says all the same that the fit may be looser than the
    sizes have it."""
    if state.log.problem and state.log.beside.digest:
        return f"Readings of the press lie beside this case and cannot be read: {state.log.problem}."
    if can_count(bench, state):
        return (
            f"Readings of the press lie beside this case in {state.log.beside.name}; it does not name them."
        )
    low = next((one for one in reversed(state.rows) if one.place == "below"), None)
    if low is None:
        return ""
    return (
        f"The press read {low.said}, where it should show {low.expected.least_text} "
        f"{low.expected.scale.unit} at least: the fit may be looser than measured. Nothing is said to hold "
        f"until {MIN_ROWS} readings are written down and counted."
    )
