"""Fatigue of several loads that repeat, summed by Miner at every point of a wall.

The loads act one after another in an unknown order. A cycle of load i from rest and back does the damage
d_i = 1/N(S_i). Where it alternates with a load j of the other sense, one cycle from one to the other and
back takes the place of a cycle of each and does d_ij = 1/N(S_ij), S_ij over both loads and rest. For the
worst order each cycle of i meets one of a load that is at least as frequent, so that

    D = Σ_i n_i max(d_i, max over j of (d_ij − d_j)),   j more frequent than i

never lies below Miner's sum Σ n_i d_i of the loads by themselves, nor below that of any order of pairs.

The demand is the amplitude that does the same by itself: with f the factor on all equivalent amplitudes at
which D = 1, it is s(n)/f for n cycles. For one load it is its own S. A small load more changes it little,
none lowers it.

Sources: Palmgren 1924, Miner 1945, linear summation of cycle ratios; ranges between loads as for pressure
vessels under several transients (all from memory, not seen).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hoopwright.service.fatigue_strength import FatigueStrength
from hoopwright.service.sn_line import LEAST_AMPLITUDE

BISECTIONS = 48
"""Halvings of the logarithm of f, which lies between bounds a few times apart."""


@dataclass(frozen=True)
class Spectrum:
    """Equivalent amplitudes of several loads at the points of a wall, the rarest load first.

    counts: cycles of each. alone: S_i, MPa. together: S_ij by the two indices, i < j, MPa.
    """

    counts: tuple[float, ...]
    alone: tuple[np.ndarray, ...]
    together: dict[tuple[int, int], np.ndarray]

    def damage(self, strength: FatigueStrength, scale: np.ndarray | float = 1.0) -> tuple[np.ndarray, ...]:
        """What every load adds to Miner's sum, with all amplitudes times `scale`."""
        return self._sum(strength.damage, scale)

    def _sum(
        self, damage: Callable[[np.ndarray], np.ndarray], scale: np.ndarray | float
    ) -> tuple[np.ndarray, ...]:
        own = [damage(scale * one) for one in self.alone]
        found = []
        for i, count in enumerate(self.counts):
            met = (damage(scale * self.together[i, j]) - own[j] for j in range(i + 1, len(own)))
            found.append(count * np.maximum.reduce([own[i], *met]))
        return tuple(found)

    def amplitude(self, strength: FatigueStrength, cycles: float) -> np.ndarray:
        """The amplitude that does the same damage in so many cycles, MPa."""
        if len(self.counts) == 1 and self.counts[0] == cycles:
            return self.alone[0]
        scale = self._straight_scale(strength) if strength.line.is_straight else self.scale(strength)
        return np.asarray(strength.amplitude(cycles) / scale)

    def _straight_scale(self, strength: FatigueStrength) -> np.ndarray:
        """As `scale`, of a straight line: by the sum itself, and no amplitude above the greatest."""
        total = np.sum(self._sum(strength.straight_damage, 1.0), axis=0)
        by_sum = total ** (-1.0 / strength.line.a2)
        return np.asarray(np.minimum(by_sum, strength.greatest / self._greatest))

    @property
    def _greatest(self) -> np.ndarray:
        """The greatest amplitude that occurs, MPa."""
        found: np.ndarray = np.maximum.reduce([*self.alone, *self.together.values()])
        return np.maximum(found, LEAST_AMPLITUDE)

    def scale(self, strength: FatigueStrength) -> np.ndarray:
        """The factor on all amplitudes at which Miner's sum is 1."""
        low = strength.amplitude(sum(self.counts)) / self._greatest
        high = np.minimum.reduce(
            [
                strength.amplitude(count) / np.maximum(one, LEAST_AMPLITUDE)
                for count, one in zip(self.counts, self.alone, strict=True)
            ]
        )
        for _ in range(BISECTIONS):
            middle = np.sqrt(low * high)
            lasts = np.sum(self.damage(strength, middle), axis=0) <= 1.0
            low, high = np.where(lasts, middle, low), np.where(lasts, high, middle)
        return np.asarray(low)
