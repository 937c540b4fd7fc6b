"""The S-N line at R = -1, within the lives it was found for and cautiously beyond them.

Within them the amplitude of the tests' mean is

    log10 N = a1 - a2 log10(2^a3 s - a4),   s in ksi

For fewer cycles it stays what it is at the least life. Beyond the greatest it goes on along the tangent in
log s over log N, which never lies above the curve, N ∝ s^-k with k = a2 (1 + a4/x), x = 2^a3 s - a4; no
fatigue limit is credited unless the tests themselves level off.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import inf, log10

import numpy as np

from hoopwright.case.service_model import Endurance
from hoopwright.closed_form.fatigue_life import MPA_PER_KSI, sn_cycles, sn_strength
from hoopwright.materials import SNCurve

LEAST_AMPLITUDE = 1e-9
"""An amplitude that does no damage, MPa."""
ROUNDING = 1e-12


@dataclass(frozen=True)
class SNLine:
    """One line: a1, a2, a3, a4 as above; least, most: lives, cycles; levels_off: whether amplitudes below
    a4 do no damage."""

    a1: float
    a2: float
    a3: float
    a4: float
    least: float
    most: float
    levels_off: bool = False

    @classmethod
    def of(cls, data: SNCurve | Endurance) -> SNLine:
        """The line of a metal's curve, its equation for R = -1 where it has one, or of the case's own
        data: straight in log s over log N, at any life."""
        if isinstance(data, Endurance):
            a1 = log10(data.cycles) + data.slope * log10(data.amplitude / MPA_PER_KSI)
            return cls(a1, data.slope, 0.0, 0.0, 0.0, inf)
        own = data.reversed or data
        return cls(
            own.a1, own.a2, own.a3, own.a4, data.min_cycles, data.max_cycles, levels_off=data.fatigue_limit
        )

    @property
    def is_straight(self) -> bool:
        """Whether N ∝ s^-a2 at all lives from the least on."""
        return self.a4 == 0.0

    @property
    def limit(self) -> float:
        """Amplitude below which no damage is done, MPa; 0 where there is none."""
        return self.a4 / 2.0**self.a3 * MPA_PER_KSI if self.levels_off else 0.0

    @cached_property
    def greatest(self) -> float:
        """Amplitude at the least life, MPa: none above it is covered."""
        return inf if self.least <= 0.0 else self._curve(self.least)

    @cached_property
    def _at_end(self) -> tuple[float, float]:
        """Amplitude at the greatest life, MPa, and the slope k there."""
        x = 10.0 ** ((self.a1 - log10(self.most)) / self.a2)
        return self._curve(self.most), self.a2 * (1.0 + self.a4 / x)

    def amplitude(self, cycles: float) -> float:
        """Amplitude that the tests' mean endures for `cycles`, MPa."""
        if cycles <= self.most:
            return self._curve(max(cycles, self.least))
        end, slope = self._at_end
        return max(end * (self.most / cycles) ** (1.0 / slope), self.limit)

    def cycles(self, amplitude: np.ndarray) -> np.ndarray:
        """Mean life at amplitudes in MPa; 0 above those covered, infinite below a limit."""
        s = np.maximum(np.asarray(amplitude, dtype=float), LEAST_AMPLITUDE)
        life = sn_cycles(stress_max=s, stress_ratio=-1.0, curve=self)
        if self.most < inf:
            end, slope = self._at_end
            with np.errstate(over="ignore"):  # a life beyond all numbers is infinite
                life = np.where(s < end, self.most * (end / s) ** slope, life)
        life = np.where(s > self.greatest * (1.0 + ROUNDING), 0.0, life)
        return np.asarray(np.where(s <= self.limit, inf, life))

    def _curve(self, cycles: float) -> float:
        return float(sn_strength(cycles=cycles, stress_ratio=-1.0, curve=self))
