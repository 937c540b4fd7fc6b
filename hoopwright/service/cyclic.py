"""Equivalent fatigue amplitude over a load cycle at every point of a wall, by Sines and by Walker.

The fit does not change over the cycle: it contributes mean stress and no amplitude.

Sines (invariants):      a + (2^(1-γ) - 1) m,     a = √3 √J2,a,  m = 3 σ_H,mean
Walker (critical plane): greatest over planes normal to the surface of (a + m)^(1-γ) a^γ,
                         a and m of the normal stress on the plane

A load that goes round the joint is taken over its whole turn, at the angles it was summed at and between
them: its history is a Fourier series in the load's angle.

Both are fully reversed amplitudes to compare with s(N); for uniaxial stress at R = -1 and R = 0 they agree.
Sources: Sines 1959; Walker 1970 (from memory, not seen), Sines's slope from s at R = -1 and R = 0 of
the same data, torsion by von Mises. No credit is taken for a mean stress below the data's least ratio.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

from hoopwright.closed_form.fatigue import deviator, hydrostatic, sqrt_j2_amplitude
from hoopwright.service.fatigue_strength import FatigueStrength
from hoopwright.service.fields import WallField
from hoopwright.service.instants import upsampled
from hoopwright.service.peaks import LEAST_ANGLES, vertex

PLANES = np.radians(np.arange(0.0, 180.0, 15.0))
"""Directions of the plane normals, rad, from the hoop direction towards the axis."""

LINES_AT_A_TIME = 16


@dataclass(frozen=True)
class CyclicField:
    """Stress of one body over a load cycle. blocks: indices of its instants, one block a load case; a block
    of several is a whole turn of a load that goes round."""

    wall: WallField
    blocks: tuple[range, ...]

    @cached_property
    def invariants(self) -> tuple[np.ndarray, np.ndarray]:
        """Sines amplitude a, and mean m without the fit, (2, lines, angles), MPa."""

        def read(histories: list[np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
            low, high = _range_of(histories, hydrostatic)
            return np.sqrt(3.0) * sqrt_j2_radius(np.concatenate(histories)), 1.5 * (high + low)

        amplitude, mean = self._along_z(read)
        return amplitude, mean + 3.0 * hydrostatic(self.wall.static)

    @cached_property
    def planes(self) -> tuple[np.ndarray, np.ndarray]:
        """Amplitude of the normal stress, and its mean without the fit, (planes, 2, lines, angles), MPa."""

        def read(histories: list[np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
            low, high = _range_of(histories, on_planes)
            return 0.5 * (high - low), 0.5 * (high + low)

        amplitude, mean = self._along_z(read)
        return _planes_first(amplitude), _planes_first(mean + on_planes(self.wall.static))

    def _along_z(
        self, read: Callable[[list[np.ndarray]], tuple[np.ndarray, np.ndarray]]
    ) -> tuple[np.ndarray, np.ndarray]:
        """Two fields read off the cyclic stress, a few lines at a time: the history of a turn is large.

        read: takes the stress of every block, (instants, 2, lines, angles, 6), MPa, without the constant
        part of an out-of-round bore.
        """
        lines = self.wall.stress.shape[2]
        found = [
            read([self._history(block, slice(k, k + LINES_AT_A_TIME)) for block in self.blocks])
            for k in range(0, lines, LINES_AT_A_TIME)
        ]
        first, second = (np.concatenate(parts, axis=1) for parts in zip(*found, strict=True))
        return first, second

    def _history(self, block: range, lines: slice) -> np.ndarray:
        stress = self.wall.stress[block.start : block.stop, :, lines]
        return upsampled(stress) if len(block) > 1 else stress

    def _walker_weight(self, gamma: float) -> np.ndarray:
        """a^(γ/(1-γ)), (planes, 2, lines, angles)."""
        if gamma not in self._walker_weights:
            self._walker_weights[gamma] = self.planes[0] ** (gamma / (1.0 - gamma))
        return self._walker_weights[gamma]

    @cached_property
    def _walker_weights(self) -> dict[float, np.ndarray]:
        return {}

    def sines(
        self, fit: np.ndarray, strength: FatigueStrength, share: np.ndarray | None = None
    ) -> np.ndarray:
        """Equivalent amplitude by Sines, (2, lines, angles), MPa. fit: its stress, (2, lines, 6), MPa.
        share: of the strength that is left at each line, (2, lines), by which amplitudes are divided."""
        amplitude, mean = self.invariants
        slope = 2.0 ** (1.0 - strength.gamma) - 1.0

        def equivalent(mean: np.ndarray) -> np.ndarray:
            return np.asarray(amplitude + slope * mean)

        mean = mean + 3.0 * hydrostatic(fit)[..., None]
        found = _over_the_ratios(amplitude, mean, equivalent, strength)
        left = 1.0 if share is None else share[..., None]
        return strength.fully_reversed(amplitude, mean, found, left)

    def walker(
        self, fit: np.ndarray, strength: FatigueStrength, share: np.ndarray | None = None
    ) -> np.ndarray:
        """Equivalent amplitude by Walker on the critical plane, (2, lines, angles), MPa; as `sines`.

        The plane is found by (a + m) a^(γ/(1-γ)), which increases with (a + m)^(1-γ) a^γ.
        """
        amplitude, mean = self.planes
        mean = mean + _planes_first(on_planes(fit))[..., None]
        power, left = 1.0 - strength.gamma, 1.0 if share is None else share[..., None]
        found = _walker_power(amplitude, mean, self._walker_weight(strength.gamma), strength)
        if not strength.has_two_equations:
            return np.asarray(found.max(axis=0) ** power / left)
        return strength.fully_reversed(amplitude, mean, found**power, left).max(axis=0)


def _over_the_ratios(
    amplitude: np.ndarray,
    mean: np.ndarray,
    equivalent: Callable[[np.ndarray], np.ndarray],
    strength: FatigueStrength,
    *,
    power: float = 1.0,
) -> np.ndarray:
    """The equivalent amplitude, to a power, at any stress ratio: no credit below those of the data, and
    beyond them the greater of the criterion's and that of a straight line to the tensile strength.

    equivalent: of the criterion, by the mean stress, to that power.
    """
    mean = np.maximum(mean, strength.lowest_credited_mean(amplitude))
    by_criterion = equivalent(mean)
    covered = strength.greatest_covered_mean(amplitude)
    if not np.any(mean > covered):
        return by_criterion
    at_edge = equivalent(np.minimum(mean, covered))
    return np.asarray(np.maximum(by_criterion, at_edge * strength.beyond(mean, covered) ** power))


def _walker_power(
    amplitude: np.ndarray, mean: np.ndarray, weight: np.ndarray, strength: FatigueStrength
) -> np.ndarray:
    """Walker's amplitude to the power 1/(1-γ): (a + m) a^(γ/(1-γ)). weight: the second factor."""

    def equivalent(mean: np.ndarray) -> np.ndarray:
        return np.asarray((amplitude + mean) * weight)

    power = 1.0 / (1.0 - strength.gamma)
    return _over_the_ratios(amplitude, mean, equivalent, strength, power=power)


def walker_on_planes(
    amplitude: np.ndarray, mean: np.ndarray, strength: FatigueStrength, share: float
) -> np.ndarray:
    """Walker's amplitude on every plane of one place, over the share of the strength left there, MPa."""
    weight = amplitude ** (strength.gamma / (1.0 - strength.gamma))
    found = _walker_power(amplitude, mean, weight, strength) ** (1.0 - strength.gamma)
    return strength.fully_reversed(amplitude, mean, found, share)


def on_planes(stress: np.ndarray) -> np.ndarray:
    """Normal stress on every plane, (..., planes), from stress (..., 6)."""
    return stress @ _normal_on_planes()


@cache
def _normal_on_planes() -> np.ndarray:
    """Matrix from the components of a stress to the normal stress on every plane, (6, planes)."""
    c, s, zero = np.cos(PLANES), np.sin(PLANES), np.zeros_like(PLANES)
    return np.stack([zero, c * c, s * s, zero, zero, 2.0 * s * c])


def _planes_first(field: np.ndarray) -> np.ndarray:
    """A field (..., planes) as (planes, ...): numpy is ten times slower over a short last axis."""
    return np.ascontiguousarray(np.moveaxis(field, -1, 0))


def _range_of(
    histories: list[np.ndarray], measure: Callable[[np.ndarray], np.ndarray]
) -> tuple[np.ndarray, np.ndarray]:
    """The least and the greatest value over a cycle of what is measured of the stress."""
    ranges = [range_over(one, measure) for one in histories]
    return np.min([low for low, _ in ranges], axis=0), np.max([high for _, high in ranges], axis=0)


def range_over(
    history: np.ndarray, measure: Callable[[np.ndarray], np.ndarray]
) -> tuple[np.ndarray, np.ndarray]:
    """The least and the greatest value over a history (instants, ...) of what is measured of each instant.
    Of a whole turn, by parabolas through three instants; they are measured one at a time, as planes make
    them twelve times as large."""
    if len(history) < LEAST_ANGLES:
        values = measure(history)
        return values.min(axis=0), values.max(axis=0)
    before, here = measure(history[-2]), measure(history[-1])
    low, high = here, here
    for stress in history:
        after = measure(stress)
        peak = vertex(before, here, after)
        low, high = np.minimum(low, peak), np.maximum(high, peak)
        before, here = here, after
    return low, high


def sqrt_j2_radius(history: np.ndarray) -> np.ndarray:
    """√J2 amplitude of a cycle, (...), MPa: radius of the smallest ball round the deviatoric path, over √2.

    history: (instants, ..., 6). For up to three instants it is exact: half the longest chord, or the
    circumradius where the triangle of the three is acute. More instants take the general search.
    """
    if len(history) > 3:
        return sqrt_j2_amplitude(history)
    path = deviator(history)
    if len(history) == 1:
        return np.zeros(path.shape[1:-1])
    chords = [np.sum((path[i] - path[j]) ** 2, axis=-1) for i in range(len(path)) for j in range(i)]
    longest = np.max(chords, axis=0)
    square = 0.25 * longest
    if len(chords) == 3:
        rest = np.sum(chords, axis=0) - longest
        # 16 area² by Heron's formula in squared sides
        area = 2.0 * (chords[0] * chords[1] + chords[1] * chords[2] + chords[2] * chords[0]) - sum(
            c * c for c in chords
        )
        acute = (rest > longest) & (area > 0.0)
        circumscribed = np.prod(chords, axis=0) / np.where(acute, area, 1.0)
        square = np.where(acute, circumscribed, square)
    return np.sqrt(0.5 * square)
