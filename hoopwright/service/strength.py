"""Fatigue strength of one body: the curve of its material or the case's own data, with every knock-down.

Both kinds are brought to a fully reversed amplitude s(N) and an exponent γ of the mean stress:

    s_ar = s_max ((1 - R)/2)^γ     (Walker; γ = ½ is Smith, Watson, Topper)

A MIL-HDBK-5 curve S_eq = S_max (1 - R)^a3 is this with s = S_eq/2^a3 and γ = a3.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.case.model import Case
from hoopwright.case.service_model import Endurance
from hoopwright.closed_form.fatigue_life import sn_cycles
from hoopwright.materials import Material, SNCurve, table


@dataclass(frozen=True)
class Strength:
    """source: what it rests on. knocked: product of the factors on strength, and `factors` in words.

    least_ratio: stress ratio below which the data says nothing, so that no lower one is credited.
    """

    data: SNCurve | Endurance
    knocked: float
    factors: str
    source: str

    @property
    def gamma(self) -> float:
        return self.data.a3 if isinstance(self.data, SNCurve) else 0.5

    @property
    def least_ratio(self) -> float:
        return self.data.least_ratio if isinstance(self.data, SNCurve) else -1.0

    def amplitude(self, cycles: float) -> float:
        """Fully reversed amplitude that stands `cycles`, MPa, all factors in."""
        if isinstance(self.data, SNCurve):
            return self.knocked * self.data.equivalent_stress(cycles) / 2.0**self.data.a3
        return self.knocked * self.data.amplitude * (self.data.cycles / cycles) ** (1.0 / self.data.slope)

    def cycles(self, amplitude: float) -> float:
        """Life at a fully reversed amplitude, MPa; inf where the curve knows no end."""
        if amplitude <= 0.0:
            return float("inf")
        if isinstance(self.data, SNCurve):
            return float(sn_cycles(stress_max=amplitude / self.knocked, stress_ratio=-1.0, curve=self.data))
        ratio = self.knocked * self.data.amplitude / amplitude
        return float(self.data.cycles * ratio**self.data.slope)

    def least_mean(self, amplitude: np.ndarray) -> np.ndarray:
        """Mean stress below which none is credited, MPa: that of the least ratio the data covers."""
        return amplitude * (1.0 + self.least_ratio) / (1.0 - self.least_ratio)


def strength_of(case: Case, body: str) -> Strength | str:
    """The fatigue strength of "shell" or "sleeve", or why there is none."""
    given = case.fatigue.shell if body == "shell" else case.fatigue.sleeve
    material = case.shell_material if body == "shell" else case.sleeve_material
    factors = {"surface": case.fatigue.surface, "reliability": case.fatigue.reliability}
    if given is not None:
        return _strength(given, factors, f"[fatigue.{body}]: {given.source}")
    curve, knock, source = _curve(material, case.fatigue.heat_affected)
    if curve is None:
        return f"no S-N data for {material.name} ({material.condition}): give [fatigue.{body}]"
    if knock is not None:
        factors = {"heat-affected": knock, **factors}
    return _strength(curve, factors, source)


def _strength(data: SNCurve | Endurance, factors: dict[str, float], source: str) -> Strength:
    words = ", ".join(f"{name} {value:.3g}" for name, value in factors.items())
    return Strength(data, float(np.prod(list(factors.values()))), words, source)


def _curve(material: Material, heat_affected: float | None) -> tuple[SNCurve | None, float | None, str]:
    """Curve, knock-down from the parent metal (None where it is the material's own), and the source."""
    own = material.fatigue
    if own is not None:
        return own, None, f"{material.name}: {own.basis}, {own.source}"
    parent = table().get(material.heat_affected_of or "")
    if parent is None or parent.fatigue is None:
        return None, None, ""
    knock = heat_affected or material.ultimate_strength / parent.ultimate_strength
    said = "[fatigue] heat_affected" if heat_affected else "ratio of tensile strengths, own choice"
    return parent.fatigue, knock, (f"{parent.name}: {parent.fatigue.basis}, {parent.fatigue.source}, "
                                   f"heat-affected x {knock:.3g} ({said})")
