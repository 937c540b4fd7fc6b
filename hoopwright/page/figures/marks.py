"""Small signs that carry a state by their shape: the hoop of a verdict, the bar of a cell, the mark of a
step. None is drawn in one colour alone, none carries a word: that stands beside it."""

from __future__ import annotations

from markupsafe import Markup

FULL_SCALE = 1.25
"""Share of the limit at which the bar of a cell ends."""
STROKE = 100.0 / FULL_SCALE
"""Where the limit stands on a bar that is 100 long."""

_HOOPS = {
    "holds": '<circle class="thick" cx="24" cy="24" r="18"/>',
    "part": '<path class="thick" d="M24 6A18 18 0 1 1 6 24"/>'
    '<path class="thin" stroke-dasharray="3 3" d="M6 24A18 18 0 0 1 24 6"/>',
    "undecided": '<circle class="thin" cx="24" cy="24" r="22"/>'
    '<circle class="thin" cx="24" cy="24" r="17"/>'
    '<path class="query" d="M19 20a5 5 0 1 1 7.5 4.3c-1.7 1-2.5 2-2.5 4.2"/>'
    '<rect class="dot" x="22.5" y="31" width="3" height="3"/>',
    "fails": '<path class="thick" d="M29.5 6.9A18 18 0 1 1 18.5 6.9"/>'
    '<path class="crack" d="M23 1l-3 6 5 3-4 6"/><path class="crack" d="M30 2l-3 5"/>',
    "old": '<circle class="thin" cx="24" cy="24" r="21"/><circle class="thin" cx="24" cy="24" r="14"/>'
    '<path class="arc" d="M24 6.5A17.5 17.5 0 0 1 41.5 24"/>',
    "unjudged": '<circle class="thin" stroke-dasharray="4 4" cx="24" cy="24" r="21"/>'
    '<circle class="thin" stroke-dasharray="4 4" cx="24" cy="24" r="14"/>',
}
_HOOPS["contradicted"] = _HOOPS["undecided"]
_STEPS = {
    "given": '<rect class="full" x="1" y="1" width="12" height="12"/>',
    "partly": '<path class="full" d="M1 13L13 1V13Z"/>'
    '<rect class="edge" x="1" y="1" width="12" height="12"/>',
    "nothing": '<rect class="edge" x="1" y="1" width="12" height="12"/>',
    "fault": '<path class="edge" d="M7 1L13.5 13H0.5Z"/><path class="edge" d="M7 5V9.2M7 10.4V11.8"/>',
}


def hoop(state: str) -> Markup:
    """The sign of a verdict, 48 px: whole, partly thin, doubled with a question mark, or broken."""
    return Markup(
        f'<svg class="hoop" width="48" height="48" viewBox="0 0 48 48" aria-hidden="true" '
        f'focusable="false">'
        f"{_HOOPS[state]}</svg>"
    )


def step_mark(mark: str) -> Markup:
    """How far a step is filled in, 14 px."""
    return Markup(
        f'<svg class="mark mark-{mark}" width="14" height="14" viewBox="0 0 14 14" aria-hidden="true" '
        f'focusable="false">{_STEPS[mark]}</svg>'
    )


def limit_used(margin: float | None) -> float:
    """Length of the bar of a margin on a scale of 100 that ends at 1.25 times the limit.

    margin: None where nothing is demanded.
    """
    if margin is None:
        return 0.0
    used = FULL_SCALE if margin <= -1.0 else 1.0 / (1.0 + margin)
    return round(100.0 * min(used, FULL_SCALE) / FULL_SCALE, 2)


def cell_bar(margin: float | None) -> Markup:
    """How much of the limit is used, with a stroke where it ends: past the stroke it fails.

    A script that moves a margin sets the width of `.used`.
    """
    return Markup(
        '<svg class="bar" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" '
        'focusable="false"><path class="track" d="M0 6H100"/>'
        f'<rect class="used" x="0" y="3.5" width="{limit_used(margin):g}" height="4"/>'
        f'<path class="limit" d="M{STROKE:g} 0V8"/></svg>'
    )
