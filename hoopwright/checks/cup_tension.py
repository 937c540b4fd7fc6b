"""Greatest pull in the sleeve between tightened cups, and what heat and cold make of it.

With flanges on the shell's faces, a one-piece sleeve is in tension between its threads and the shell in
compression between the flanges. Where the shell expands more than the sleeve, heat raises the preload. Cups
whose flanges bear on the sleeve itself keep theirs.
"""

from __future__ import annotations

from math import pi

from hoopwright.case.model import Case
from hoopwright.checks.sleeve_loads import cup_thread, greatest_preload
from hoopwright.closed_form.thermal import thermal_preload_change
from hoopwright.geometry.joint import Joint, Segment


def greatest_tension(case: Case, joint: Joint, temperature_rise: float) -> float:
    """Greatest pull of the cups at a temperature, N; 0 without cups in the sleeve's threads.

    It is the preload at the lowest friction, plus the change by differential expansion where both cups
    clamp the shell. temperature_rise: K above 20 °C.
    """
    if case.cups is None:
        return 0.0
    preloads = [
        greatest_preload(case.cups, cup, thread)
        for side, cup in case.cups.sides
        if (thread := cup_thread(case.sleeve, side)) is not None
    ]
    force = max(preloads, default=0.0)
    if case.cups.flange_on_shell and len(preloads) == 2:
        force += _thermal_preload(case, joint, temperature_rise)
    return max(force, 0.0)


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
