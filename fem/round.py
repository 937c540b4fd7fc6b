"""Sums of harmonics round the circumference: displacement, stress through the wall, contact traction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fem.stress import Recovery

# In the cosine family these go as sin nθ, in the sine family as −cos nθ; all others as cos and sin.
SWAPPED_DISPLACEMENT = np.array([False, True, False])
SWAPPED_STRESS = np.array([False, False, False, False, True, True])

FEWEST = 6  # a series that ends below this harmonic is taken as meant, not as cut off


@dataclass(frozen=True)
class RoundLines:
    """Stress of one body on a grid of wall lines and angles, per load case.

    theta: (angles,), rad; z, r_inner, r_outer: (lines,), mm. The stresses are (cases, lines, angles, 6),
    MPa: membrane, membrane + bending at the two surfaces (inner, outer), and the whole stress there.
    """

    theta: np.ndarray
    z: np.ndarray
    r_inner: np.ndarray
    r_outer: np.ndarray
    membrane: np.ndarray
    inner: np.ndarray
    outer: np.ndarray
    surface_inner: np.ndarray
    surface_outer: np.ndarray


@dataclass(frozen=True)
class Response:
    """Answer to load cases, as amplitudes. Axes: harmonics, cases, families (cosine, sine), then

    displacement: nodes, 3, mm; stress: elements, 4 points, 6, MPa; traction: pairs, 3, MPa, what the
    sleeve does to the shell along +r (contact pressure), +θ, +z. tail: (cases,), MPa, estimate of the
    stress in the harmonics left out.
    """

    harmonics: tuple[int, ...]
    displacement: np.ndarray
    stress: np.ndarray
    traction: np.ndarray
    tail: np.ndarray
    recovery: Recovery

    def displacement_at(self, nodes: np.ndarray, theta: np.ndarray) -> np.ndarray:
        """(u_r, u_θ, u_z) at nodes and angles (rad), (cases, nodes, angles, 3), mm."""
        amplitude = self.displacement[:, :, :, nodes]
        return over_angles(self.harmonics, amplitude, theta, SWAPPED_DISPLACEMENT)

    def traction_at(self, theta: np.ndarray) -> np.ndarray:
        """Contact pressure and shear at the pairs and angles (rad), (cases, pairs, angles, 3), MPa."""
        return over_angles(self.harmonics, self.traction, theta, SWAPPED_DISPLACEMENT)

    def stress_at(self, elements: np.ndarray, theta: np.ndarray) -> np.ndarray:
        """Stress at the points of some elements, (cases, elements · 4, angles, 6), MPa."""
        amplitude = self.stress[:, :, :, elements]
        return over_angles(self.harmonics, amplitude.reshape(*amplitude.shape[:3], -1, 6), theta,
                           SWAPPED_STRESS)

    def lines(self, body: str, theta: np.ndarray) -> RoundLines:
        """Linearised and surface stress of one body at angles theta, rad."""
        wall = self.recovery.lines[body]
        H, K, F = self.stress.shape[:3]
        points = np.moveaxis(self.stress.reshape(H, K, F, -1, 6), 3, 0)
        flat = points.reshape(len(points), -1)

        def summed(lines: np.ndarray) -> np.ndarray:
            amplitude = lines.reshape(-1, H, K, F, 6)
            return over_angles(self.harmonics, np.moveaxis(amplitude, 0, 3), theta, SWAPPED_STRESS)

        membrane, bending = summed(wall.membrane(points)), summed(wall.bending(points))
        return RoundLines(theta, wall.z, wall.inner, wall.outer, membrane, membrane - bending,
                          membrane + bending, summed(wall.at_inner @ flat), summed(wall.at_outer @ flat))


def over_angles(
    harmonics: Sequence[int], amplitude: np.ndarray, theta: np.ndarray, swapped: np.ndarray
) -> np.ndarray:
    """Sum of amplitudes (harmonics, cases, families, places, components) at angles (rad):
    (cases, places, angles, components). swapped: which components go as sin nθ and −cos nθ."""
    angle = np.multiply.outer(np.asarray(harmonics, dtype=float), np.asarray(theta, dtype=float))
    cosine, sine = np.cos(angle), np.sin(angle)
    total = np.empty((*amplitude.shape[1:2], amplitude.shape[3], len(theta), amplitude.shape[4]))
    for which, waves in ((~swapped, (cosine, sine)), (swapped, (sine, -cosine))):
        wave = np.stack(waves, axis=1)
        total[..., which] = np.einsum("hkfpc,hft->kptc", amplitude[..., which], wave, optimize=True)
    return total


def tail(harmonics: Sequence[int], size: np.ndarray) -> np.ndarray:
    """Estimate of what a cut-off series leaves out, (cases,), from amplitudes (harmonics, cases).

        Σ_{m > n} C m^−2,   C = the larger n² · amplitude of the last two that are not zero

    with all terms of one sign: the series of a pressure that starts with a kink, as a half cosine does,
    ends like that where it acts; away from there the answer falls off faster. A series that ends below
    FEWEST is taken as whole.
    """
    size = np.asarray(size, dtype=float)
    n = np.asarray(harmonics, dtype=float)
    left = np.zeros(size.shape[1])
    for case, amplitude in enumerate(size.T):
        present = np.flatnonzero(amplitude > 1e-12 * np.max(amplitude, initial=0.0))
        if len(present) < 2 or n[present[-1]] < FEWEST:
            continue
        last = present[-2:]
        step = n[last[1]] - n[last[0]]
        following = n[last[1]] + step * np.arange(1, 400)
        left[case] = np.max(amplitude[last] * n[last] ** 2) * float(np.sum(following**-2.0))
    return left
