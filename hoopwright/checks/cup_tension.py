"""Pull in the sleeve between tightened cups, and what heat and cold make of it.

With flanges on the shell's faces, a one-piece sleeve is in tension between its threads and the shell in
compression between the flanges. Where the shell expands more than the sleeve, heat raises the preload. Cups
whose flanges bear on the sleeve itself keep theirs.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi

from hoopwright.case.holding_model import CupsInput, CupTightening
from hoopwright.case.model import Case
from hoopwright.checks.sleeve_loads import cup_thread, greatest_preload, least_preload
from hoopwright.closed_form.thermal import thermal_preload_change
from hoopwright.geometry import Thread
from hoopwright.geometry.joint import Joint, Segment


def greatest_tension(case: Case, joint: Joint, temperature_rise: float) -> float:
    """Greatest pull of the cups at a temperature, N; 0 without cups in the sleeve's threads.

    It is the preload at the lowest friction, plus the change by differential expansion where both cups
    clamp the shell. temperature_rise: K above 20 °C.
    """
    return _tension(case, joint, temperature_rise, max(_preloads(case, greatest_preload), default=0.0))


def least_tension(case: Case, joint: Joint, temperature_rise: float) -> float:
    """Least pull of tightened cups at a temperature, N, at the highest friction; else as
    greatest_tension."""
    return _tension(case, joint, temperature_rise, min(_preloads(case, least_preload), default=0.0))


def _preloads(case: Case, preload: Callable[[CupsInput, CupTightening, Thread], float]) -> list[float]:
    """The preload of every cup in a thread of the sleeve, as tightened, N."""
    if case.cups is None:
        return []
    return [
        preload(case.cups, cup, thread)
        for side, cup in case.cups.sides
        if (thread := cup_thread(case.sleeve, side)) is not None
    ]


def _tension(case: Case, joint: Joint, temperature_rise: float, tightened: float) -> float:
    clamps_shell = case.cups is not None and case.cups.flange_on_shell
    if clamps_shell and len(_preloads(case, greatest_preload)) == 2:
        tightened += _thermal_preload(case, joint, temperature_rise)
    return max(tightened, 0.0)


def _thermal_preload(case: Case, joint: Joint, temperature_rise: float) -> float:
    return float(
        thermal_preload_change(
            length=case.shell.width,
            tension_stiffness=_stiffness(joint.sleeve, case.sleeve_material.young_modulus),
            compression_stiffness=_stiffness(joint.shell, case.shell_material.young_modulus),
            tension_alpha=case.sleeve_material.expansion,
            compression_alpha=case.shell_material.expansion,
            temperature_change=temperature_rise - case.press.temperature_rise_K,
        )
    )


def _stiffness(segments: tuple[Segment, ...], modulus: float) -> float:
    """Axial stiffness of a body as a bar, N/mm: its stretches in series."""
    return 1.0 / sum((s.z_end - s.z_start) / (modulus * _area(s)) for s in segments)


def _area(s: Segment) -> float:
    """Smallest cross-sectional area of a stretch, mm²."""
    return pi * min(s.outer_start**2 - s.inner_start**2, s.outer_end**2 - s.inner_end**2)
