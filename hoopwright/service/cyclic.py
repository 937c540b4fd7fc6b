"""Amplitude and mean of the stress over a load cycle at every point of a wall, by two criteria.

Amplitudes do not depend on the fit, which stands still; its stress is mean stress.

Sines (invariants):      a + (2^(1-γ) - 1) m,     a = √3 √J2,a,  m = 3 σ_H,mean
Walker (critical plane): greatest over planes square to the surface of (a + m)^(1-γ) a^γ,
                         a and m of the normal stress on the plane

Both are fully reversed amplitudes to hold against s(N); for one axis at R = -1 and R = 0 they agree.
Sources: Sines 1959; Walker 1970 (from memory, not seen), Sines's slope from s at R = -1 and R = 0 of
the same data, torsion taken by von Mises. No credit is taken for a mean below the data's least ratio.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright.closed_form.fatigue import deviator, hydrostatic, sqrt_j2_amplitude
from hoopwright.service.fields import WallField
from hoopwright.service.strength import Strength

PLANES = np.radians(np.arange(0.0, 180.0, 15.0))
"""Directions of the normal, from the hoop direction towards the axis."""


@dataclass(frozen=True)
class CyclicField:
    """One body over the cycle. wall: its stress; taking_part: indices of the cases gone through."""

    wall: WallField
    taking_part: tuple[int, ...]

    @cached_property
    def history(self) -> np.ndarray:
        """(instants, 2, lines, angles, 6), MPa, the out-of-round bore left out as it stands still."""
        return self.wall.stress[list(self.taking_part)]

    @cached_property
    def _invariants(self) -> tuple[np.ndarray, np.ndarray]:
        """a and the part of m that the fit does not change, (2, lines, angles)."""
        pressure = hydrostatic(self.history)
        mean = 1.5 * (pressure.max(axis=0) + pressure.min(axis=0)) + 3.0 * hydrostatic(self.wall.standing)
        return np.sqrt(3.0) * sqrt_j2_radius(self.history), mean

    @cached_property
    def _planes(self) -> tuple[np.ndarray, np.ndarray]:
        """Amplitude and standing mean of the normal stress, (2, lines, angles, planes)."""
        normal = _on_planes(self.history)
        high, low = normal.max(axis=0), normal.min(axis=0)
        return 0.5 * (high - low), 0.5 * (high + low) + _on_planes(self.wall.standing)

    def _weighed(self, strength: Strength) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """a^(γ/(1-γ)), standing a + m, and the least a + m that counts, (2, lines, angles, planes)."""
        key = strength.gamma, strength.least_ratio
        if key not in self._kept:
            amplitude, mean = self._planes
            power = strength.gamma / (1.0 - strength.gamma)
            self._kept[key] = (amplitude**power, amplitude + mean,
                               amplitude + strength.least_mean(amplitude))
        return self._kept[key]

    @cached_property
    def _kept(self) -> dict[tuple[float, float], tuple[np.ndarray, np.ndarray, np.ndarray]]:
        return {}

    def sines(self, fit: np.ndarray, strength: Strength) -> np.ndarray:
        """Equivalent amplitude, (2, lines, angles), MPa. fit: (2, lines, 6), MPa."""
        amplitude, mean = self._invariants
        total = np.maximum(mean + 3.0 * hydrostatic(fit)[..., None], strength.least_mean(amplitude))
        return amplitude + (2.0 ** (1.0 - strength.gamma) - 1.0) * total

    def walker(self, fit: np.ndarray, strength: Strength) -> np.ndarray:
        """Equivalent amplitude of the worst plane, (2, lines, angles), MPa.

        The plane is found by (a + m) a^(γ/(1-γ)), which rises and falls with (a + m)^(1-γ) a^γ.
        """
        weight, standing, least = self._weighed(strength)
        greatest = np.maximum(standing + _on_planes(fit)[:, :, None], least)
        greatest *= weight
        return greatest.max(axis=-1) ** (1.0 - strength.gamma)


def _on_planes(stress: np.ndarray) -> np.ndarray:
    """Normal stress on every plane, (..., planes), from stress (..., 6)."""
    c, s, none = np.cos(PLANES), np.sin(PLANES), np.zeros_like(PLANES)
    return stress @ np.stack([none, c * c, s * s, none, none, 2.0 * s * c])


def sqrt_j2_radius(history: np.ndarray) -> np.ndarray:
    """√J2 amplitude of a cycle, (...), MPa: radius of the smallest ball round the deviatoric path, over √2.

    history: (instants, ..., 6). Exact for three instants or fewer: half the longest chord, or the circle
    through all three where their triangle is acute; more are left to the general search.
    """
    if len(history) > 3:
        return sqrt_j2_amplitude(history)
    path = deviator(history)
    if len(history) == 1:
        return np.zeros(path.shape[1:-1])
    chords = [np.sum((path[i] - path[j]) ** 2, axis=-1)
              for i in range(len(path)) for j in range(i)]
    longest = np.max(chords, axis=0)
    square = 0.25 * longest
    if len(chords) == 3:
        rest = np.sum(chords, axis=0) - longest
        # 16 area² by Heron's formula in squared sides
        area = 2.0 * (chords[0] * chords[1] + chords[1] * chords[2] + chords[2] * chords[0]) - sum(
            c * c for c in chords)
        acute = (rest > longest) & (area > 0.0)
        through = np.prod(chords, axis=0) / np.where(acute, area, 1.0)
        square = np.where(acute, through, square)
    return np.sqrt(0.5 * square)
