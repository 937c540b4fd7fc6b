"""Readings that stand out and were not confirmed: what they put in doubt, and how that is said."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.measured.standing_out import Standing, in_words, standing_out

STANDS_OUT = "a reading stands out from its land, and the case does not confirm it"
"""The doubt on every row where one lies beyond the interval that the rows are judged over."""


def open_suspects(case: Case) -> tuple[Standing, ...]:
    """The readings of a case that stand out and were not confirmed, each with its land."""
    return standing_out((*case.shell_measured, *case.sleeve_measured))


def doubt_of(case: Case) -> str:
    """Why no row may hold because of such a reading, "" where none lies beyond what is judged: the 95 %
    interval of its land, in which it might as well be right."""
    beyond = any(abs(one.residual) > land.plus_minus for land, one in open_suspects(case))
    return STANDS_OUT if beyond else ""


def said_first(case: Case) -> str:
    """What a verdict begins with where readings stand out, "" where none does."""
    found = open_suspects(case)
    if not found:
        return ""
    head = "A reading stands out" if len(found) == 1 else f"{len(found)} readings stand out"
    return f"{head} ({in_words(found)})"
