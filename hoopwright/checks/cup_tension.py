"""Pull in the sleeve between tightened cups, and what heat and cold make of it.

With flanges on the shell's faces, a one-piece sleeve is in tension between its threads and the shell in
compression between the flanges. Where the shell expands more than sleeve and cups, heat raises the preload.
Cups whose flanges bear on the sleeve itself keep theirs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from hoopwright.case.holding_model import CupsInput, CupTightening
from hoopwright.case.model import Case
from hoopwright.checks.sleeve_loads import cup_thread, greatest_preload, least_preload
from hoopwright.geometry import Thread
from hoopwright.study import CaseStudy


def greatest_tension(study: CaseStudy, temperature_rise: float) -> float:
    """Greatest pull of the cups at a temperature, N; 0 without cups in the sleeve's threads.

    It is the preload at the lowest friction, as tightened on the bench, and where both cups clamp the shell
    what heat makes of it: friction on the seat may keep any part of what cold would take.
    temperature_rise: K above 20 °C.
    """
    tightened = max(_preloads(study.case, greatest_preload), default=0.0)
    return max(_tensions(study, temperature_rise, tightened))


def least_tension(study: CaseStudy, temperature_rise: float) -> float:
    """Least pull of tightened cups at a temperature, N, at the highest friction, and what cold makes of
    it; else as greatest_tension."""
    tightened = min(_preloads(study.case, least_preload), default=0.0)
    return min(_tensions(study, temperature_rise, tightened))


def _preloads(case: Case, preload: Callable[[CupsInput, CupTightening, Thread], float]) -> list[float]:
    """The preload of every cup in a thread of the sleeve, as tightened, N."""
    if case.cups is None:
        return []
    return [
        preload(case.cups, cup, thread)
        for side, cup in case.cups.sides
        if (thread := cup_thread(case.sleeve, side)) is not None
    ]


def _tensions(study: CaseStudy, temperature_rise: float, tightened: float) -> Iterable[float]:
    """The pull at a temperature, N, on a seat that does not slide and on one that slides freely."""
    case = study.case
    clamps_shell = case.cups is not None and case.cups.flange_on_shell
    two = len(_preloads(case, greatest_preload)) == 2
    if clamps_shell and two and temperature_rise != case.press.temperature_rise_K:
        return tightened, max(study.meshes[-1].locked_pull(tightened, temperature_rise), 0.0)
    return (tightened,)
