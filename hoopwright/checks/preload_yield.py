"""Yield of shell and sleeve under cup preload: stress of the fit plus the axial stress of the preload.

With flanges on the shell's faces, a one-piece sleeve is in tension between its threads and the shell in
compression between the flanges. Where the shell expands more than the sleeve, heat raises the preload.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np

from hoopwright import fem
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin
from hoopwright.checks.sleeve_loads import PRELOAD_SOURCE, cup_thread, greatest_preload
from hoopwright.closed_form.thermal import thermal_preload_change
from hoopwright.estimate import Estimate
from hoopwright.fit import FitSolution, Peak
from hoopwright.geometry.joint import Segment

ZZ = 2  # index of the axial stress component


def shell_yields_clamped(evidence: Evidence) -> Margin:
    """Yield of the shell, compressed between the flanges by the greatest preload."""
    return _yields(evidence, "shell", -1.0)


def sleeve_yields_clamped(evidence: Evidence) -> Margin:
    """Yield of the sleeve, in tension between its threads by the greatest preload."""
    return _yields(evidence, "sleeve", 1.0)


def greatest_tension(evidence: Evidence, temperature_rise: float) -> float:
    """Greatest tension in the sleeve at a temperature, N; 0 without cups. temperature_rise: K above 20 °C.

    It is the preload at the lowest friction, plus the change by differential expansion where both cups
    clamp the shell.
    """
    case = evidence.case
    if case.cups is None:
        return 0.0
    preloads = [
        greatest_preload(case.cups, cup, thread)
        for side, cup in case.cups.sides
        if (thread := cup_thread(case.sleeve, side)) is not None
    ]
    force = max(preloads, default=0.0)
    if case.cups.flange_on_shell and len(preloads) == 2:
        force += _thermal_preload(evidence, temperature_rise)
    return max(force, 0.0)


def temperature_rises(evidence: Evidence) -> tuple[float, ...]:
    """Temperatures to check, K above 20 °C: that of [fit], and both ends of the range of use."""
    case = evidence.case
    temperatures = case.temperatures
    ends = () if temperatures is None else (temperatures.use_min, temperatures.use_max)
    return tuple(dict.fromkeys((case.fit.temperature_rise_K, *ends)))


def _thermal_preload(evidence: Evidence, temperature_rise: float) -> float:
    case, pair = evidence.case, evidence.study.joint
    return float(
        thermal_preload_change(
            length=case.shell.width,
            tension_stiffness=_stiffness(pair.sleeve, case.sleeve_material.young_modulus),
            compression_stiffness=_stiffness(pair.shell, case.shell_material.young_modulus),
            tension_alpha=case.sleeve_material.expansion,
            compression_alpha=case.shell_material.expansion,
            temperature_change=temperature_rise - case.fit.temperature_rise_K,
        )
    )


def _stiffness(segments: tuple[Segment, ...], modulus: float) -> float:
    """Axial stiffness of a body as a bar, N/mm: its stretches in series."""
    return 1.0 / sum((s.z_end - s.z_start) / (modulus * _area(s)) for s in segments)


def _area(s: Segment) -> float:
    """Smallest cross-sectional area of a stretch, mm²."""
    return pi * min(s.outer_start**2 - s.inner_start**2, s.outer_end**2 - s.inner_end**2)


def _yields(evidence: Evidence, body: str, sense: float) -> Margin:
    case = evidence.case
    applies = case.cups is not None and case.cups.flange_on_shell
    found: list[tuple[Estimate, Peak]] = []
    for rise in temperature_rises(evidence) if applies else ():
        found.append(
            _greatest(evidence, rise, _stress_reader(body, sense * greatest_tension(evidence, rise)))
        )
    worst = max(found, key=lambda pair: pair[0].value, default=None)
    material = case.sleeve_material if body == "sleeve" else case.shell_material
    action = "pulled between its threads" if body == "sleeve" else "pressed between the flanges"
    return Margin(
        id=f"{body}_yields_clamped",
        title=f"{body} yields, clamped",
        demand=worst[0] if worst else None,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=case.factors.yielding,
        where=Location.of(worst[1]) if worst else Location(body),
        basis="von Mises, membrane + bending of the fit at greatest interference, "
        f"with the {body} {action} over its whole length by the greatest preload; {PRELOAD_SOURCE}; "
        "worst of the temperatures of use, the clamp free to move along the seat; "
        "the wedge of the thread's flanks is not in it",
        applies=applies,
    )


def _greatest(
    evidence: Evidence, rise: float, reader: Callable[[FitSolution], Peak]
) -> tuple[Estimate, Peak]:
    demand, solution = evidence.study.at(evidence.greatest, rise).greatest(lambda s: reader(s).value)
    return demand, reader(solution)


def _stress_reader(body: str, force: float) -> Callable[[FitSolution], Peak]:
    """A function that finds the peak von Mises stress of a body with an axial force added, N, tension
    positive."""

    def read(solution: FitSolution) -> Peak:
        wall = solution.walls[body]
        inner, outer = wall.inner.copy(), wall.outer.copy()
        axial = force / (pi * (wall.r_outer**2 - wall.r_inner**2))
        inner[:, ZZ] += axial
        outer[:, ZZ] += axial
        stress = np.array([fem.von_mises(inner), fem.von_mises(outer)])
        surface, k = np.unravel_index(int(np.argmax(stress)), stress.shape)
        radius = wall.r_outer if surface else wall.r_inner
        return Peak(
            float(stress[surface, k]),
            body,
            "outside" if surface else "bore",
            float(radius[k]),
            float(wall.z[k]),
        )

    return read
