"""Uniaxial fatigue: mean-stress corrections and the S-N curve."""

from __future__ import annotations

from typing import NamedTuple, Protocol

import numpy as np

from hoopwright.closed_form._check import Real, require_not_negative, require_positive

MPA_PER_KSI = 6.894757293168361


def goodman_utilisation(
    *, amplitude: Real, mean: Real, endurance_limit: Real, tensile_strength: Real
) -> Real:
    """Utilisation of a stress cycle by Goodman's line: 1 is the limit.

        use = σ_a/S_e + σ_m/S_u

    amplitude, mean, endurance_limit S_e (R = -1), tensile_strength S_u: MPa. A compressive mean
    counts as zero, so no credit is taken for it. Raises ValueError for a negative amplitude.
    Source: Goodman, in any machine-design book.

    >>> goodman_utilisation(amplitude=50.0, mean=150.0, endurance_limit=100.0, tensile_strength=300.0)
    1.0
    """
    require_not_negative(amplitude=amplitude)
    require_positive(endurance_limit=endurance_limit, tensile_strength=tensile_strength)
    use = amplitude / endurance_limit + np.maximum(mean, 0.0) / tensile_strength
    return float(use) if np.ndim(use) == 0 else use


def swt_amplitude(*, amplitude: Real, mean: Real) -> Real:
    """Equivalent fully reversed amplitude of a cycle with a mean stress (Smith, Watson, Topper).

        σ_ar = √(σ_max σ_a),   σ_max = σ_m + σ_a;  0 when σ_max <= 0

    amplitude, mean: MPa. Returns MPa. Raises ValueError for a negative amplitude.
    Source: Smith, Watson and Topper 1970, from memory, not seen.

    >>> float(swt_amplitude(amplitude=80.0, mean=100.0))
    120.0
    """
    require_not_negative(amplitude=amplitude)
    return np.sqrt(np.maximum(mean + amplitude, 0.0) * amplitude)


def walker_amplitude(*, stress_max: Real, stress_ratio: Real, gamma: Real) -> Real:
    """Equivalent fully reversed amplitude of a cycle of stress ratio R (Walker).

        σ_ar = σ_max ((1 - R)/2)^γ;   γ = ½ is Smith, Watson, Topper

    stress_max: MPa, at least 0; stress_ratio R = σ_min/σ_max, at most 1; gamma in [0, 1].
    Returns MPa. Raises ValueError outside those ranges. Source: Walker 1970, from memory, not seen.

    >>> walker_amplitude(stress_max=180.0, stress_ratio=-1.0, gamma=0.65)
    180.0
    """
    require_not_negative(stress_max=stress_max)
    _require_ratio(stress_ratio)
    if not np.all(np.greater_equal(gamma, 0.0) & np.less_equal(gamma, 1.0)):
        raise ValueError("gamma must be in [0, 1]")
    return stress_max * ((1.0 - stress_ratio) / 2.0) ** gamma


def _require_ratio(stress_ratio: Real) -> None:
    if not np.all(np.less_equal(stress_ratio, 1.0) & np.isfinite(stress_ratio)):
        raise ValueError("stress_ratio = least/greatest stress must be at most 1")


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


class SNConstants(NamedTuple):
    """The four constants of a `StressLife`, a4 in ksi."""

    a1: float
    a2: float
    a3: float
    a4: float


def sn_cycles(*, stress_max: Real, stress_ratio: Real, curve: StressLife) -> Real:
    """Cycles to failure on an S-N curve; infinite where S_eq does not exceed a4.

    Equation as in `StressLife`. stress_max: MPa, above 0 (ksi inside this formula only);
    stress_ratio R = σ_min/σ_max, below 1. Returns cycles. The curve is the mean of the tests and
    carries no safety margin. Raises ValueError outside those ranges.
    Source: form of MIL-HDBK-5J, from memory.

    >>> round(float(np.log10(sn_cycles(stress_max=138.0, stress_ratio=-1.0,
    ...                                curve=SNConstants(20.68, 9.84, 0.63, 0.0)))), 2)
    6.01
    """
    require_positive(stress_max=stress_max)
    _require_ratio(stress_ratio)
    equivalent = stress_max / MPA_PER_KSI * (1.0 - stress_ratio) ** curve.a3
    above = np.asarray(equivalent - curve.a4)
    safe = np.where(above > 0.0, above, 1.0)
    cycles = np.where(above > 0.0, 10.0 ** (curve.a1 - curve.a2 * np.log10(safe)), np.inf)
    return float(cycles) if cycles.ndim == 0 else cycles


def sn_strength(*, cycles: Real, stress_ratio: Real, curve: StressLife) -> Real:
    """Greatest stress of the cycle at a given life: the inverse of `sn_cycles`.

        S_max = [a4 + 10^((a1 - log10 N)/a2)]/(1 - R)^a3

    cycles N: above 0; stress_ratio below 1. Returns MPa, which at R = -1 is the amplitude.
    Raises ValueError outside those ranges. Source: as `sn_cycles`.

    >>> curve = SNConstants(20.68, 9.84, 0.63, 0.0)
    >>> round(float(sn_strength(cycles=1e6, stress_ratio=-1.0, curve=curve)), 1)
    138.3
    """
    require_positive(cycles=cycles)
    if not np.all(np.less(stress_ratio, 1.0)):
        raise ValueError("stress_ratio must be below 1: a steady stress has no fatigue strength")
    equivalent = curve.a4 + 10.0 ** ((curve.a1 - np.log10(cycles)) / curve.a2)
    return equivalent / (1.0 - stress_ratio) ** curve.a3 * MPA_PER_KSI
