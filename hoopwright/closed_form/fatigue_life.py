"""The S-N curve of a metal: life at a stress and stress at a life."""

from __future__ import annotations

from typing import Protocol

import numpy as np

from hoopwright.closed_form._check import Real, require_positive

MPA_PER_KSI = 6.894757293168361
"""MPa in one ksi, a thousand pounds-force to the square inch."""


class StressLife(Protocol):
    """Protocol of an S-N curve with four constants; stress in ksi, as published.

    log10 N = a1 - a2 log10(S_eq - a4),   S_eq = S_max (1 - R)^a3
    """

    @property
    def a1(self) -> float: ...
    @property
    def a2(self) -> float: ...
    @property
    def a3(self) -> float: ...
    @property
    def a4(self) -> float: ...


def sn_cycles(*, stress_max: Real, stress_ratio: Real, curve: StressLife) -> Real:
    """Cycles to failure on an S-N curve; infinite where S_eq does not exceed a4.

    Equation as in `StressLife`. stress_max: MPa, above 0 (ksi inside this formula only);
    stress_ratio R = σ_min/σ_max, below 1. Returns cycles. The curve is the mean of the tests and
    carries no safety margin. Raises ValueError outside those ranges.
    Source: form of MIL-HDBK-5J, seen in a public transcription.

    >>> from types import SimpleNamespace
    >>> curve = SimpleNamespace(a1=20.68, a2=9.84, a3=0.63, a4=0.0)
    >>> round(float(np.log10(sn_cycles(stress_max=138.0, stress_ratio=-1.0, curve=curve))), 2)
    6.01
    """
    require_positive(stress_max=stress_max)
    if not np.all(np.less_equal(stress_ratio, 1.0) & np.isfinite(stress_ratio)):
        raise ValueError("stress_ratio = least/greatest stress must be at most 1")
    equivalent = stress_max / MPA_PER_KSI * (1.0 - stress_ratio) ** curve.a3
    above = np.asarray(equivalent - curve.a4)
    safe = np.where(above > 0.0, above, 1.0)
    with np.errstate(over="ignore"):  # a life beyond all numbers is infinite
        cycles = np.where(above > 0.0, 10.0 ** (curve.a1 - curve.a2 * np.log10(safe)), np.inf)
    return float(cycles) if cycles.ndim == 0 else cycles


def sn_strength(*, cycles: Real, stress_ratio: Real, curve: StressLife) -> Real:
    """Greatest stress of the cycle at a given life: the inverse of `sn_cycles`.

        S_max = [a4 + 10^((a1 - log10 N)/a2)]/(1 - R)^a3

    cycles N: above 0; stress_ratio below 1. Returns MPa: at R = -1 the amplitude, at R = 0 S_eq itself.
    Raises ValueError outside those ranges. Source: as `sn_cycles`.

    >>> from types import SimpleNamespace
    >>> curve = SimpleNamespace(a1=20.68, a2=9.84, a3=0.63, a4=0.0)
    >>> round(float(sn_strength(cycles=1e6, stress_ratio=-1.0, curve=curve)), 1)
    138.3
    """
    require_positive(cycles=cycles)
    if not np.all(np.less(stress_ratio, 1.0)):
        raise ValueError("stress_ratio must be below 1: a steady stress has no fatigue strength")
    equivalent = curve.a4 + 10.0 ** ((curve.a1 - np.log10(cycles)) / curve.a2)
    return equivalent / (1.0 - stress_ratio) ** curve.a3 * MPA_PER_KSI
