"""The verdict of `hoopwright size`, in one or two sentences."""

from __future__ import annotations

from math import ceil, floor, inf
from typing import Literal

from hoopwright.display import Units
from hoopwright.left_out import keeps_from_holding, left_out, with_grounds_named
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.turn_to import TurnTo
from hoopwright.sizing.window import Window
from hoopwright.suspected import open_suspects

MAX_DECIMALS = 6


def size_state(plan: SizePlan) -> Literal["holds", "holds as far as judged", "undecided", "fails"]:
    """Whether there is a size to cut to, and whether all that is needed was judged. Of parts that are not
    both finished: see came_out for those."""
    if not plan.can_be_cut or plan.contradicted:
        return "fails"
    if open_suspects(plan.case):
        return "undecided"
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
        conflict = conflict_text(plan.window)
        return f"Do not cut: no interference satisfies every check ({conflict}).{_as_pressed(plan)}"
    assert plan.turn_to is not None
    if not plan.turn_to.makeable:
        return not_makeable_text(plan.turn_to, plan.window, units)
    if open_suspects(plan.case):
        return (
            "Do not cut yet: the size below counts that as it was read. Read there again, or write "
            f"confirmed = true at the station if it is so.{_missing(plan)}"
        )
    sleeve = "another sleeve" if plan.in_doubt_as_pressed else "the sleeve"
    what = f"Turn {sleeve}" if plan.turn_to.cut == "sleeve" else "Bore the shell"
    width = units.both(1e3 * min(b.high - b.low for b in plan.turn_to.bands), "um")
    return f"{what} to the size below: the band is {width} wide.{_as_pressed(plan)}{_missing(plan)}"


def _as_pressed(plan: SizePlan) -> str:
    """What was found on the joint that is pressed, and how another is judged by it; "" where nothing."""
    if not plan.in_doubt_as_pressed:
        return ""
    proof = plan.case.proof
    if proof is not None and proof.slipped:
        return (
            " This joint slipped at the load of [proof]: another sleeve is judged by the share of what was "
            "computed that this leaves."
        )
    return (
        " This joint is in doubt by what was read at the press: another sleeve is judged by no more "
        "friction than was read."
    )


def _missing(plan: SizePlan) -> str:
    missing = left_out(plan.case, plan.margins)
    return f" As far as judged: {'; '.join(missing)}." if missing else ""


def conflict_text(window: Window) -> str:
    """Which checks make a window empty, and how."""
    names = " and ".join(c.margin.title for c in window.conflicts)
    never = any(c.interference is None for c in window.conflicts)
    return f"{names}: {'never holds' if never else 'exclude each other'}"


def not_makeable_text(found: TurnTo, window: Window, units: Units) -> str:
    """Why no size can be cut to with this gauge, and what would do: what is needed is rounded so that it
    does."""
    kept = max(b.guard for b in found.bands)
    head = (
        f"Not makeable with this gauge: the window is {units.both(1e3 * window.width, 'um')} wide and "
        f"{_rounded(kept, units, up=True)} must be kept from each end."
    )
    needed = found.accuracy_needed
    if needed == inf:
        return f"{head} No size that it shows lies between: a gauge with a finer step would do."
    if needed is not None:
        return head + (
            f" A reading good to ± {_both(needed, units)} (95 %, gauge, zero and temperature together) "
            "would do."
        )
    other = "bore" if found.cut == "sleeve" else "sleeve"
    if not found.other_needed:
        return f"{head} No reading would do: the window is narrower than a step of the gauge."
    return head + (
        f" Not even a perfect reading would do: the {other} must be known to "
        f"± {_both(found.other_needed, units)} (95 %)."
    )


def _both(length: float, units: Units) -> str:
    """A length, mm, rounded down in both systems of units."""
    other = Units("inch" if units.system == "metric" else "metric")
    return f"{_rounded(length, units)} ({_rounded(length, other)})"


def _rounded(length: float, units: Units, *, up: bool = False) -> str:
    """A length, mm, in µm or thou, rounded down or up, never to nothing: with as many decimals more as that
    takes."""
    exact = float(units.number(1e3 * length, "um", decimals=9))
    decimals = 1 if units.system == "metric" else 2
    while decimals < MAX_DECIMALS and exact * 10**decimals < 1.0:
        decimals += 1
    step = 10.0**-decimals
    count = ceil(exact / step - 1e-6) if up else floor(exact / step + 1e-6)
    return f"{count * step:.{decimals}f} {units.label('um')}"
