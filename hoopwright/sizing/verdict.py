"""The verdict of `hoopwright size`, in one or two sentences."""

from __future__ import annotations

from typing import Literal

from hoopwright.display import Units
from hoopwright.left_out import keeps_from_holding, left_out, with_grounds_named
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.turn_to import TurnTo
from hoopwright.sizing.window import Window


def size_state(plan: SizePlan) -> Literal["holds", "holds as far as judged", "fails"]:
    """Whether there is a size to cut to, and whether all that is needed was judged. Of parts that are not
    both finished: see came_out for those."""
    if not plan.can_be_cut or plan.contradicted:
        return "fails"
    incomplete = keeps_from_holding(plan.case, plan.margins)
    return "holds as far as judged" if incomplete else "holds"


def size_verdict(plan: SizePlan, units: Units) -> str:
    """Verdict on a size plan: empty window, gauge too coarse, or the size to cut to."""
    return with_grounds_named(plan.case, _verdict(plan, units))


def _verdict(plan: SizePlan, units: Units) -> str:
    if plan.contradicted:
        return (
            "Do not rely on these sizes: what was read at the press contradicts them, or the friction "
            "given. Measure again before anything else is cut."
        )
    if plan.window.empty:
        return f"Do not cut: no interference satisfies every check ({conflict_text(plan.window)})."
    assert plan.turn_to is not None
    if not plan.turn_to.makeable:
        return not_makeable_text(plan.turn_to, plan.window, units)
    what = "Turn the sleeve" if plan.turn_to.cut == "sleeve" else "Bore the shell"
    width = min(b.high - b.low for b in plan.turn_to.bands)
    return f"{what} to the size below: the band is {units.both(1e3 * width, 'um')} wide.{_missing(plan)}"


def _missing(plan: SizePlan) -> str:
    missing = left_out(plan.case, plan.margins)
    return f" As far as judged: {'; '.join(missing)}." if missing else ""


def conflict_text(window: Window) -> str:
    """Which checks make a window empty, and how."""
    names = " and ".join(c.margin.title for c in window.conflicts)
    never = any(c.interference is None for c in window.conflicts)
    return f"{names}: {'never holds' if never else 'exclude each other'}"


def not_makeable_text(found: TurnTo, window: Window, units: Units) -> str:
    """Why no size can be cut to with this gauge, and what would do."""
    head = (
        f"Not makeable with this gauge: the window is {units.both(1e3 * window.width, 'um')} wide and "
        f"{units.text(1e3 * max(b.guard for b in found.bands), 'um')} must be kept from each end."
    )
    if found.accuracy_needed is not None:
        return head + (
            f" A reading good to ± {units.both(1e3 * found.accuracy_needed, 'um')} (95 %, gauge, "
            "zero and temperature together) would do."
        )
    other = "bore" if found.cut == "sleeve" else "sleeve"
    return head + (
        f" Not even a perfect reading would do: the {other} must be known to "
        f"± {units.both(1e3 * (found.other_needed or 0.0), 'um')} (95 %)."
    )
