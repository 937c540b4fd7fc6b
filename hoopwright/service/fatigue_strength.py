"""Fatigue strength of a body: S-N curve of its material or data of the case, with knock-down factors.

Both are reduced to a fully reversed amplitude s(N) and a mean-stress exponent γ:

    s_ar = s_max ((1 - R)/2)^γ     (Walker; γ = ½ is Smith, Watson, Topper)

A MIL-HDBK-5 curve S_eq = S_max (1 - R)^a3 has this form with s = S_eq/2^a3 and γ = a3.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import prod

import numpy as np

from hoopwright.case.model import Case
from hoopwright.case.service_model import Endurance
from hoopwright.closed_form.fatigue_life import sn_cycles, sn_strength
from hoopwright.materials import Material, SNCurve, table

LEAST_AMPLITUDE = 1e-9
"""An amplitude that does no damage, MPa."""


@dataclass(frozen=True)
class FatigueStrength:
    """Fatigue strength of one body.

    data: S-N curve or endurance. factors: knock-down factors by name. source: where the data come from.
    """

    data: SNCurve | Endurance
    factors: Mapping[str, float]
    source: str

    @cached_property
    def knock_down(self) -> float:
        """Product of the knock-down factors."""
        return prod(self.factors.values())

    @property
    def factors_text(self) -> str:
        """The knock-down factors in words."""
        return ", ".join(f"{name} {value:.3g}" for name, value in self.factors.items())

    @property
    def gamma(self) -> float:
        """Walker exponent of the mean stress."""
        return self.data.a3 if isinstance(self.data, SNCurve) else 0.5

    @property
    def min_stress_ratio(self) -> float:
        """Lowest stress ratio R the data cover; none below it is credited."""
        return self.data.min_stress_ratio if isinstance(self.data, SNCurve) else -1.0

    def amplitude(self, cycles: float) -> float:
        """Fully reversed amplitude endured for `cycles`, MPa, all knock-down factors applied."""
        if isinstance(self.data, SNCurve):
            return self.knock_down * float(sn_strength(cycles=cycles, stress_ratio=-1.0, curve=self.data))
        return (
            self.knock_down * self.data.amplitude * (self.data.cycles / cycles) ** (1.0 / self.data.slope)
        )

    def cycles(self, amplitude: float) -> float:
        """Life in cycles at a fully reversed amplitude in MPa; inf below the fatigue limit."""
        if amplitude <= 0.0:
            return float("inf")
        if isinstance(self.data, SNCurve):
            return float(
                sn_cycles(stress_max=amplitude / self.knock_down, stress_ratio=-1.0, curve=self.data)
            )
        ratio = self.knock_down * self.data.amplitude / amplitude
        return float(self.data.cycles * ratio**self.data.slope)

    @property
    def has_limit(self) -> bool:
        """Whether amplitudes below a fatigue limit do no damage."""
        return isinstance(self.data, SNCurve) and self.data.a4 > 0.0

    @property
    def exponent(self) -> float:
        """k of N ∝ amplitude^-k, above the fatigue limit where there is one."""
        return self.data.a2 if isinstance(self.data, SNCurve) else self.data.slope

    def damage(self, amplitude: np.ndarray) -> np.ndarray:
        """Share of the life that one cycle takes at a fully reversed amplitude in MPa: 1/N."""
        if isinstance(self.data, Endurance):
            ratio = amplitude / (self.knock_down * self.data.amplitude)
            return np.asarray(ratio**self.data.slope / self.data.cycles)
        safe = np.maximum(amplitude, LEAST_AMPLITUDE) / self.knock_down
        return np.asarray(1.0 / sn_cycles(stress_max=safe, stress_ratio=-1.0, curve=self.data))

    def lowest_credited_mean(self, amplitude: np.ndarray) -> np.ndarray:
        """Lowest mean stress credited at an amplitude, MPa: at the lowest stress ratio the data cover."""
        return amplitude * (1.0 + self.min_stress_ratio) / (1.0 - self.min_stress_ratio)


def fatigue_strength_of(case: Case, body: str) -> FatigueStrength | str:
    """The fatigue strength of "shell" or "sleeve", or a sentence why there is none."""
    given = case.fatigue.shell if body == "shell" else case.fatigue.sleeve
    material = case.shell_material if body == "shell" else case.sleeve_material
    factors = {"surface": case.fatigue.surface, "reliability": case.fatigue.reliability}
    if given is not None:
        return FatigueStrength(given, factors, f"[fatigue.{body}]: {given.source}")
    curve, knock_down, source = _curve(material, case.fatigue.heat_affected)
    if curve is None:
        return f"no S-N data for {material.name} ({material.condition}): give [fatigue.{body}]"
    if knock_down is not None:
        factors = {"heat-affected": knock_down, **factors}
    return FatigueStrength(curve, factors, source)


def _curve(material: Material, heat_affected: float | None) -> tuple[SNCurve | None, float | None, str]:
    """S-N curve, heat-affected knock-down (None where the curve is the material's own), and source."""
    own = material.fatigue
    if own is not None:
        return own, None, f"{material.name}: {own.basis}, {own.source}"
    parent = table().get(material.heat_affected_of or "")
    if parent is None or parent.fatigue is None:
        return None, None, ""
    assert material.ultimate_strength is not None  # a material that names a parent is one of the table
    assert parent.ultimate_strength is not None
    knock_down = heat_affected or material.ultimate_strength / parent.ultimate_strength
    knock_down_source = (
        "[fatigue] heat_affected" if heat_affected else "ratio of tensile strengths, own choice"
    )
    return (
        parent.fatigue,
        knock_down,
        (
            f"{parent.name}: {parent.fatigue.basis}, {parent.fatigue.source}, "
            f"heat-affected x {knock_down:.3g} ({knock_down_source})"
        ),
    )
