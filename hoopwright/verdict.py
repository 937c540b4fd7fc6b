"""The verdict on a checked case: one word for the whole, and a few sentences."""

from __future__ import annotations

from typing import Literal

from hoopwright.checks import Margin
from hoopwright.display import margin_text
from hoopwright.left_out import (
    keeps_from_holding,
    left_out,
    own_limits_not_given,
    with_grounds_named,
)
from hoopwright.pipeline import Results
from hoopwright.sizing.finished import both_finished
from hoopwright.suspected import doubt_of

VerdictState = Literal["holds", "holds as far as judged", "undecided", "fails", "contradicted"]
"""contradicted: finite elements and closed form disagree where they must agree."""


def verdict_state(results: Results) -> VerdictState:
    """The state of the whole, which sets the exit status and the colour of the page."""
    if not results.trusted:
        return "contradicted"
    if results.failing:
        return "fails"
    if results.unresolved:
        return "undecided"
    if keeps_from_holding(results.case, results.margins):
        return "holds as far as judged"
    return "holds"


def verdict(results: Results) -> str:
    """The conclusion of a check, never more certain than its rows."""
    return with_grounds_named(results.case, conclusion(results))


def conclusion(results: Results) -> str:
    """The verdict without what it begins with where the values are samples."""
    state = verdict_state(results)
    sentences = {
        "contradicted": _contradicted,
        "fails": _fails,
        "undecided": _undecided,
        "holds as far as judged": _as_far_as_judged,
        "holds": _holds,
    }
    return sentences[state](results)


def _contradicted(results: Results) -> str:
    worst = max((p for p in results.comparison.pairings if not p.agrees), key=lambda p: abs(p.difference))
    return (
        f"Not to be used: the finite elements and Lamé differ by {100 * worst.difference:+.2f} % in the "
        f"{worst.what}, where they must agree."
    )


def _fails(results: Results) -> str:
    names = ", ".join(m.title for m in results.failing)
    count = len(results.failing)
    do = "does" if count == 1 else "do"
    ways = f"{count} of {len(_judged(results))} ways to fail {do} not hold ({names})"
    read = " What was read at the press contradicts the case." if results.contradicted_by_readings else ""
    finished = both_finished(results.case, results.study)
    return f"Do not {'press' if finished else 'cut'}: {ways}.{read}" + _missing(results)


def _undecided(results: Results) -> str:
    if results.contradicted_by_readings:
        shape = f" ({results.shape_read})" if results.shape_read else ""
        return (
            f"Undecided: what was read at the press contradicts the sizes and the friction given{shape}, "
            "so no row holds until that is explained (`hoopwright press` says how far off it is)."
            + _missing(results)
        )
    if doubt_of(results.case):
        return (
            "Undecided: no row holds until that is read again, or confirmed = true at its station says "
            "that it is so." + _missing(results)
        )
    names = ", ".join(m.title for m in results.unresolved)
    return (
        f"Undecided: {names}: too close to the limit, or resting on something in doubt. Treat it as "
        "failing until it is settled." + _missing(results)
    )


def _as_far_as_judged(results: Results) -> str:
    missing = left_out(results.case, results.margins)
    why = "; ".join((*missing, *_accepted(results)))
    return f"Holds as far as judged{': ' + why if why else ''}." + _nearest(results)


def _holds(results: Results) -> str:
    accepted = "; ".join(_accepted(results))
    ways = f"all {len(_judged(results))} ways to fail were judged and hold"
    return f"Holds: {ways}{'; ' + accepted if accepted else ''}." + _nearest(results)


def _nearest(results: Results) -> str:
    """The row nearest its limit, then the limits that the user did not set."""
    least = _judged(results)[0]
    limits = own_limits_not_given(results.margins)
    own = f" No limit of your own was given for: {', '.join(limits)}." if limits else ""
    return f" Nearest its limit: {least.title}, {least.stage}, {margin_text(least.margin)}.{own}"


def _missing(results: Results) -> str:
    missing = left_out(results.case, results.margins)
    return f" Besides: {'; '.join(missing)}." if missing else ""


def _accepted(results: Results) -> tuple[str, ...]:
    """What the case accepts without a margin."""
    service = results.case.service
    slips = service is not None and service.micro_slip_accepted
    return ("local slip of the joint is accepted",) if slips else ()


def _judged(results: Results) -> list[Margin]:
    return [m for m in results.margins if m.margin is not None]
