"""Fatigue strength of a body: S-N data of its metal or of the case, with what lowers them.

Both are a fully reversed amplitude s(N) and a mean-stress exponent γ:

    s_ar = s_max ((1 - R)/2)^γ     (Walker; γ = ½ is Smith, Watson, Topper)

A MIL-HDBK-5 curve S_eq = S_max (1 - R)^a3 has this form with s = S_eq/2^a3 and γ = a3. Where it has another
equation for R = -1, that one is s(N), and an amplitude by the first is put in its place at the same life:
never more amplitude than fully reversed, never more than by the first equation, and between R = -1 and the
least ratio of the first on the chord between the two.

Reliability shifts the life of the tests' mean by z times the scatter of log10 N, z the standard normal
quantile: the amplitude for N cycles is that of the mean for N 10^(z s).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import inf, prod
from statistics import NormalDist

import numpy as np

from hoopwright.case.model import Case, StrengthZone
from hoopwright.case.service_model import Endurance
from hoopwright.closed_form.fatigue_life import MPA_PER_KSI
from hoopwright.materials import Material, SNCurve, table
from hoopwright.service.sn_line import LEAST_AMPLITUDE, ROUNDING, SNLine
from hoopwright.strength import at_its_hottest_in_use, least_of_zones

NOT_COVERED = 1e12
"""Damage of a cycle whose amplitude no data cover."""
LEAST_REST = 1e-3
"""Share of the tensile strength that is left at least between a mean stress and it."""
OVER_TESTED = "strength over tested"
STRENGTH_SCATTER = 0.08
"""Scatter of strength where no scatter of life is known, as a share; textbooks, from memory, not seen."""


@dataclass(frozen=True)
class FatigueStrength:
    """Fatigue strength of one body.

    data: S-N curve or endurance. factors: knock-down factors by name. source: where the data come from.
    reliability: share of bars that reach it; 0.5 is the mean of the tests. tensile: strength towards which
    the amplitude falls beyond the data's stress ratios; yielding: no amplitude above it is endured, MPa.
    doubt: why it may not be relied on, "" for no reason.
    """

    data: SNCurve | Endurance
    factors: Mapping[str, float]
    source: str
    reliability: float = 0.5
    tensile: float = inf
    yielding: float = inf
    doubt: str = ""

    @cached_property
    def knock_down(self) -> float:
        """Product of the knock-down factors."""
        return prod(self.factors.values())

    @property
    def factors_text(self) -> str:
        """What lowers the strength, in words."""
        factors = [f"{name} {value:.3g}" for name, value in self.factors.items()]
        borrowed = " borrowed from another ratio" if self.scatter_is_borrowed else ""
        scatter = f" by a scatter of log10 life of {self.scatter:g}{borrowed}" if self.scatter else ""
        return ", ".join((*factors, f"reached by {100.0 * self.reliability:g} % of bars{scatter}"))

    @property
    def gamma(self) -> float:
        """Walker exponent of the mean stress."""
        return self.data.a3 if isinstance(self.data, SNCurve) else 0.5

    @property
    def min_stress_ratio(self) -> float:
        """Lowest stress ratio R the data cover; none below it is credited."""
        return self.data.min_stress_ratio if isinstance(self.data, SNCurve) else -1.0

    @property
    def has_two_equations(self) -> bool:
        """Whether the data have an equation of their own for R = -1."""
        return isinstance(self.data, SNCurve) and self.data.reversed is not None

    @property
    def scatter(self) -> float:
        """Scatter of log10 life, 0 where none is known."""
        return self.data.scatter

    @property
    def scatter_is_borrowed(self) -> bool:
        """Whether that scatter is printed with another equation than the one read."""
        return self.has_two_equations

    @property
    def quantile(self) -> float:
        """z of the reliability."""
        return NormalDist().inv_cdf(self.reliability)

    @cached_property
    def line(self) -> SNLine:
        """Mean of the tests at R = -1."""
        return SNLine.of(self.data)

    @cached_property
    def life_shift(self) -> float:
        """Life of the tests' mean over that of a bar of the reliability."""
        return float(10.0 ** (self.quantile * self.scatter))

    @cached_property
    def greatest(self) -> float:
        """Greatest amplitude that any life is told for, MPa."""
        return min(self.knock_down * self.line.greatest, self.yielding)

    def amplitude(self, cycles: float) -> float:
        """Fully reversed amplitude endured for `cycles`, MPa, all that lowers it applied."""
        return min(self.knock_down * self.line.amplitude(cycles * self.life_shift), self.yielding)

    def cycles(self, amplitude: float) -> float:
        """Life in cycles at a fully reversed amplitude in MPa; inf below a fatigue limit, 0 above what the
        data cover."""
        return float(1.0 / found) if (found := float(self.damage(np.asarray(amplitude)))) > 0.0 else inf

    @property
    def longest(self) -> float:
        """Longest life that is told, cycles: that of the end of the data, or of the case's own point."""
        if isinstance(self.data, Endurance):
            return self.data.cycles
        return self.data.max_cycles / self.life_shift

    def straight_damage(self, amplitude: np.ndarray) -> np.ndarray:
        """`damage` without the greatest amplitude, of a line that is straight."""
        s = np.maximum(amplitude, LEAST_AMPLITUDE) / self.knock_down
        exponent = self.line.a2 * np.log10(s / MPA_PER_KSI * 2.0**self.line.a3) - self.line.a1
        return np.asarray(self.life_shift * 10.0 ** np.clip(exponent, -300.0, 300.0))

    def damage(self, amplitude: np.ndarray) -> np.ndarray:
        """Share of the life that one cycle takes at a fully reversed amplitude in MPa: 1/N."""
        safe = np.maximum(amplitude, LEAST_AMPLITUDE)
        covered = safe <= self.greatest * (1.0 + ROUNDING)
        if self.line.is_straight:
            found = self.straight_damage(safe)
        else:
            life = self.line.cycles(np.where(covered, safe, self.greatest) / self.knock_down)
            found = self.life_shift / np.maximum(life, 1.0 / NOT_COVERED)
        return np.asarray(np.where(covered, np.minimum(found, NOT_COVERED), NOT_COVERED))

    def lowest_credited_mean(self, amplitude: np.ndarray) -> np.ndarray:
        """Lowest mean stress credited at an amplitude, MPa: at the lowest stress ratio the data cover."""
        return amplitude * (1.0 + self.min_stress_ratio) / (1.0 - self.min_stress_ratio)

    def greatest_covered_mean(self, amplitude: np.ndarray) -> np.ndarray:
        """Greatest mean stress that the data cover at an amplitude, MPa; infinite for the case's own data,
        which are corrected by one rule at every ratio."""
        if isinstance(self.data, Endurance):
            return np.full_like(amplitude, inf)
        return amplitude * (1.0 + self.data.max_stress_ratio) / (1.0 - self.data.max_stress_ratio)

    def beyond(self, mean: np.ndarray, covered: np.ndarray) -> np.ndarray:
        """Factor on the amplitude at the greatest mean covered for one that lies beyond it: the amplitude
        endured falls in a straight line from there to none at the tensile strength (Goodman's line, drawn
        from the edge of the data)."""
        if self.tensile == inf or isinstance(self.data, Endurance):
            return np.ones_like(mean)
        floor = LEAST_REST * self.tensile
        left = np.maximum(self.tensile - np.maximum(mean, covered), floor)
        return np.asarray(np.maximum(self.tensile - covered, floor) / left)

    def fully_reversed(
        self,
        amplitude: np.ndarray,
        mean: np.ndarray,
        equivalent: np.ndarray,
        share: np.ndarray | float = 1.0,
    ) -> np.ndarray:
        """The fully reversed amplitude of a cycle over the share of the strength that is left, MPa.

        equivalent: by the criterion, with no mean below the lowest credited. Where the data have an
        equation for R = -1, that one has the amplitude itself, the other the amplitude of the same life, if
        that is more; between their ratios it is interpolated by the mean stress.
        """
        if not isinstance(self.data, SNCurve) or self.data.reversed is None:
            return np.asarray(equivalent / share)
        first, second = self.data, self.data.reversed
        by_first = equivalent / share * 2.0**first.a3 / (MPA_PER_KSI * self.knock_down)
        scale = 10.0 ** ((second.a1 - first.a1) / second.a2)
        above = scale * np.maximum(by_first - first.a4, 0.0) ** (first.a2 / second.a2)
        same_life = (
            (second.a4 * np.minimum(by_first / first.a4, 1.0) + above) * MPA_PER_KSI * self.knock_down
        )
        least = np.maximum(self.lowest_credited_mean(amplitude), LEAST_AMPLITUDE)
        own = amplitude / share
        return np.asarray(own + np.clip(mean / least, 0.0, 1.0) * np.maximum(same_life - own, 0.0))


AFTER_HEAT, WHILE_HOT = "left after heat", "while hot"
"""The shares of the yield strength that heat before use has left, and that the heat of use leaves: taken
for the fatigue strength too, as no fatigue data are known of metal that has been, or is, hot."""


def fatigue_strength_of(case: Case, body: str, zone: StrengthZone | None = None) -> FatigueStrength | str:
    """The fatigue strength of "shell" or "sleeve", in a zone or in the rest of it, or a sentence why there
    is none. Its metal is of the stock of the case, in its weakest direction, at its hottest in use."""
    given = case.fatigue.shell if body == "shell" else case.fatigue.sleeve
    metal = at_its_hottest_in_use(case, body, zone)
    material, share = metal.material, case.fatigue.reliability
    heat = {AFTER_HEAT: metal.left.value, WHILE_HOT: metal.hot.value}
    factors = {name: value for name, value in heat.items() if value < 1.0}
    if given is not None:
        factors["surface"] = case.fatigue.surface
        if not given.scatter:
            factors["reliability"] = 1.0 - STRENGTH_SCATTER * NormalDist().inv_cdf(share)
        of = f"[fatigue.{body}]: {given.source}"
        return FatigueStrength(given, factors, of, share, yielding=metal.value, doubt=metal.doubt)
    tested = _tested(material)
    if tested is None or tested.fatigue is None:
        return f"no S-N data for {material.name} ({material.condition}): give [fatigue.{body}]"
    tensile, parent = metal.tensile, tested.ultimate_strength
    if tensile is None or parent is None:
        lacking = material if tensile is None else tested
        return (
            f"no ultimate_strength of {lacking.name} ({lacking.condition}), by which its S-N data are "
            f"taken: give it, or [fatigue.{body}]"
        )
    curve, whole = tested.fatigue, tensile if tested is material else parent
    if curve.tested_ultimate:
        factors[OVER_TESTED] = min(whole / curve.tested_ultimate, 1.0)
    source = f"{tested.name}: {curve.basis}, {curve.source}"
    if tested is not material:
        given_share = case.fatigue.heat_affected
        factors["heat-affected"] = found = given_share or tensile / parent
        why = "[fatigue] heat_affected" if given_share else "ratio of tensile strengths, own choice"
        source += f", heat-affected x {found:.3g} ({why})"
    factors["surface"] = case.fatigue.surface
    return FatigueStrength(curve, factors, source, share, tensile, metal.value, metal.doubt)


def share_of_zones(case: Case, body: str, z: np.ndarray) -> np.ndarray:
    """Fatigue strength at places along a body over that of the metal it is judged by; the weaker zone's
    where two meet. A zone is credited no more than its metal yields at, and only by the same S-N curve."""
    own = fatigue_strength_of(case, body)

    def share(zone: StrengthZone | None) -> float:
        there = own if zone is None else fatigue_strength_of(case, body, zone)
        if isinstance(own, str):
            return 1.0
        if isinstance(there, str) or there.data != own.data:
            return min(at_its_hottest_in_use(case, body, zone).value / own.yielding, 1.0)
        return min(there.knock_down / own.knock_down, there.yielding / own.yielding)

    return least_of_zones(case, body, z, share)


def _tested(material: Material) -> Material | None:
    """The metal whose curve is taken: the body's own, or the parent of a heat-affected one."""
    return material if material.fatigue is not None else table().get(material.heat_affected_of or "")
