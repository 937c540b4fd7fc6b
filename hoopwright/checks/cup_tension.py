"""Pull in the sleeve between tightened cups, and what heat and cold make of it.

With flanges on the shell's faces, a one-piece sleeve is in tension between its threads and the shell in
compression between the flanges. Where the shell expands more than sleeve and cups, heat raises the preload.
Cups whose flanges bear on the sleeve itself keep theirs.
"""

from __future__ import annotations

from collections.abc import Callable

from hoopwright.case.holding_model import CupsInput, CupTightening
from hoopwright.case.model import Case
from hoopwright.checks.sleeve_loads import cup_thread, greatest_preload, least_preload
from hoopwright.geometry import Thread
from hoopwright.study import CaseStudy


def greatest_tension(study: CaseStudy, temperature_rise: float) -> float:
    """Greatest pull of the cups at a temperature, N; 0 without cups in the sleeve's threads.

    It is the preload at the lowest friction, as tightened on the bench, and where both cups clamp the shell
    what heat and cold make of it. temperature_rise: K above 20 °C.
    """
    return _tension(study, temperature_rise, max(_preloads(study.case, greatest_preload), default=0.0))


def least_tension(study: CaseStudy, temperature_rise: float) -> float:
    """Least pull of tightened cups at a temperature, N, at the highest friction; else as
    greatest_tension."""
    return _tension(study, temperature_rise, min(_preloads(study.case, least_preload), default=0.0))


def _preloads(case: Case, preload: Callable[[CupsInput, CupTightening, Thread], float]) -> list[float]:
    """The preload of every cup in a thread of the sleeve, as tightened, N."""
    if case.cups is None:
        return []
    return [
        preload(case.cups, cup, thread)
        for side, cup in case.cups.sides
        if (thread := cup_thread(case.sleeve, side)) is not None
    ]


def _tension(study: CaseStudy, temperature_rise: float, tightened: float) -> float:
    case = study.case
    clamps_shell = case.cups is not None and case.cups.flange_on_shell
    two = len(_preloads(case, greatest_preload)) == 2
    if clamps_shell and two and temperature_rise != case.press.temperature_rise_K:
        tightened = study.meshes[-1].locked_pull(tightened, temperature_rise)
    return max(tightened, 0.0)
