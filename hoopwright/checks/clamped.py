"""Shell or sleeve yields when the cups clamp it: the fit's stress with the axial stress of the preload.

With flanges on the shell's faces a one-piece sleeve is pulled between its threads and the shell pressed
between the flanges. Where the shell expands more than the sleeve, warmth tightens this further.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np

import fem
from geometry.joint import Segment
from hoopwright.checks.acts import PRELOAD_SOURCE, cup_thread, greatest_preload
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin, Where
from hoopwright.closed_form.thermal import clamp_change
from hoopwright.estimate import Estimate
from hoopwright.fit import FitState, Peak

ZZ = 2  # place of the axial stress


def shell_yields_clamped(evidence: Evidence) -> Margin:
    return _yields(evidence, "shell", -1.0)


def sleeve_yields_clamped(evidence: Evidence) -> Margin:
    return _yields(evidence, "sleeve", 1.0)


def pull(evidence: Evidence, temperature_rise: float) -> float:
    """Greatest tension a cup puts on the sleeve at a temperature, N: preload at the least friction,
    with what warmth adds where both cups clamp the shell; 0 without cups."""
    case = evidence.case
    if case.cups is None:
        return 0.0
    preloads = [greatest_preload(case.cups, cup, thread) for side, cup in case.cups.sides
                if (thread := cup_thread(case.sleeve, side)) is not None]
    force = max(preloads, default=0.0)
    if case.cups.on_shell and len(preloads) == 2:
        force += _locked_in(evidence, temperature_rise)
    return max(force, 0.0)


def warmths(evidence: Evidence) -> tuple[float, ...]:
    """Temperatures to look at, K above 20 °C: the case's own, and both ends of the range of use."""
    case = evidence.case
    seen = case.temperatures
    ends = () if seen is None else (seen.use_least, seen.use_most)
    return tuple(dict.fromkeys((case.fit.temperature_rise_K, *ends)))


def _locked_in(evidence: Evidence, temperature_rise: float) -> float:
    case, pair = evidence.case, evidence.study.joint
    return float(clamp_change(
        length=case.shell.width,
        pulled_stiffness=_stiffness(pair.sleeve, case.sleeve_material.young_modulus),
        pressed_stiffness=_stiffness(pair.shell, case.shell_material.young_modulus),
        pulled_alpha=case.sleeve_material.expansion,
        pressed_alpha=case.shell_material.expansion,
        temperature_change=temperature_rise - case.fit.temperature_rise_K,
    ))


def _stiffness(segments: tuple[Segment, ...], modulus: float) -> float:
    """Of the body as a bar along its axis, N/mm: its stretches one behind the other."""
    return 1.0 / sum((s.z_end - s.z_start) / (modulus * _area(s)) for s in segments)


def _area(s: Segment) -> float:
    """Least cross-section of a stretch, mm²."""
    return pi * min(s.outer_start**2 - s.inner_start**2, s.outer_end**2 - s.inner_end**2)


def _yields(evidence: Evidence, body: str, sense: float) -> Margin:
    case = evidence.case
    applies = case.cups is not None and case.cups.on_shell
    found: list[tuple[Estimate, Peak]] = []
    for rise in warmths(evidence) if applies else ():
        found.append(_greatest(evidence, rise, _reader(body, sense * pull(evidence, rise))))
    worst = max(found, key=lambda pair: pair[0].value, default=None)
    material = case.sleeve_material if body == "sleeve" else case.shell_material
    way = "pulled between its threads" if body == "sleeve" else "pressed between the flanges"
    return Margin(
        id=f"{body}_yields_clamped",
        title=f"{body} yields, clamped",
        demand=worst[0] if worst else None,
        capacity=Estimate(material.yield_strength),
        unit="MPa",
        factor=case.factors.yielding,
        where=Where.of(worst[1]) if worst else Where(body),
        basis="von Mises, membrane + bending of the fit at greatest interference, "
              f"with the {body} {way} over its whole length by the greatest preload; {PRELOAD_SOURCE}; "
              "worst of the temperatures of use, the clamp free to move along the seat; "
              "the wedge of the thread's flanks is not in it",
        applies=applies,
    )


def _greatest(
    evidence: Evidence, rise: float, reader: Callable[[FitState], Peak]
) -> tuple[Estimate, Peak]:
    demand, state = evidence.study.at(evidence.greatest, rise).greatest(lambda s: reader(s).value)
    return demand, reader(state)


def _reader(body: str, force: float) -> Callable[[FitState], Peak]:
    """Greatest von Mises stress of the body's walls with an axial force added, tension positive."""
    def read(state: FitState) -> Peak:
        wall = state.walls[body]
        inner, outer = wall.inner.copy(), wall.outer.copy()
        axial = force / (pi * (wall.r_outer**2 - wall.r_inner**2))
        inner[:, ZZ] += axial
        outer[:, ZZ] += axial
        stress = np.array([fem.von_mises(inner), fem.von_mises(outer)])
        surface, k = np.unravel_index(int(np.argmax(stress)), stress.shape)
        radius = wall.r_outer if surface else wall.r_inner
        return Peak(float(stress[surface, k]), body, "outside" if surface else "bore",
                    float(radius[k]), float(wall.z[k]))

    return read
