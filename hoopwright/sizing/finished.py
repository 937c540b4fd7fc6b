"""Which parts are finished: cut, so that their sizes are what there is and no longer a plan.

A part is finished where the case says so, and where it does not, if every land that carries a seat has
readings: nobody reads a diameter that is not there.
"""

from __future__ import annotations

from collections.abc import Iterable

from hoopwright.case.model import Case
from hoopwright.interference import SeatInterference
from hoopwright.study import CaseStudy


def sleeve_is_turned(case: Case, study: CaseStudy) -> bool:
    """Whether the sleeve is turned."""
    return sleeve_is_cut(case, study.interference.fits)


def sleeve_is_cut(case: Case, fits: Iterable[SeatInterference]) -> bool:
    """The same, without solutions. fits: the seats that may hold."""
    if case.sleeve_turned is not None:
        return case.sleeve_turned
    read = {land.index for land in case.sleeve_measured if land.surface == "outside"}
    return all(s.seat.sleeve_land in read for s in fits)


def shell_is_bored(case: Case, study: CaseStudy) -> bool:
    """Whether the shell is bored."""
    return bore_is_cut(case, {s.seat.bore_land for s in study.interference.fits})


def both_finished(case: Case, study: CaseStudy) -> bool:
    """Whether both parts are finished, and what is left to decide is whether to press them."""
    return sleeve_is_turned(case, study) and shell_is_bored(case, study)


def bore_is_cut(case: Case, lands: set[int] | None = None) -> bool:
    """Whether the lands of the bore with these indices are cut; all of them for None."""
    if case.shell_bored is not None:
        return case.shell_bored
    read = {land.index for land in case.shell_measured if land.surface == "bore"}
    return (set(range(len(case.shell.bore))) if lands is None else lands) <= read
