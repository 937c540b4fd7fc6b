"""The verdict on a checked case: one word for the whole, and one or two sentences."""

from __future__ import annotations

from typing import Literal

from hoopwright.display import margin_text
from hoopwright.pipeline import Results

VerdictState = Literal["holds", "fails", "undecided", "contradicted", "not judged"]
"""contradicted: finite elements and closed form disagree where they must agree. not judged: no row was."""


def verdict_state(results: Results) -> VerdictState:
    """The state of the whole, which sets the exit status and the colour of the page."""
    if not results.trusted:
        return "contradicted"
    if results.failing:
        return "fails"
    if results.unresolved:
        return "undecided"
    return "holds" if any(m.margin is not None for m in results.margins) else "not judged"


def verdict(results: Results) -> str:
    """The conclusion of a check, never more certain than its margins."""
    state = verdict_state(results)
    assessed = [m for m in results.margins if m.margin is not None]
    if state == "contradicted":
        worst = max(
            (p for p in results.comparison.pairings if not p.agrees), key=lambda p: abs(p.difference)
        )
        return (
            f"Not to be used: the finite elements and Lamé differ by "
            f"{100 * worst.difference:+.2f} % in the {worst.what}, where they must agree."
        )
    if state == "not judged":
        return "Nothing could be judged: the case gives no limits. See the lines not assessed."
    if state == "fails":
        names = ", ".join(m.title for m in results.failing)
        return f"Do not cut: {len(results.failing)} of {len(assessed)} checks fail ({names})."
    if state == "undecided":
        names = ", ".join(m.title for m in results.unresolved)
        return (
            f"Undecided: {names}: too close to the limit, or resting on something in doubt. "
            "Treat it as failing until it is settled."
        )
    least = assessed[0]
    left = len(results.margins) - len(assessed)
    open_part = f" {left} more could not be assessed from this case." if left else ""
    return (
        f"All {len(assessed)} assessed checks hold; the least margin is "
        f"{margin_text(least.margin)} ({least.title}).{open_part}"
    )
