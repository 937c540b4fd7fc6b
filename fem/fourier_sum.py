"""Fourier sums over the circumference: displacement, linearised stress and contact traction at angles θ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoopwright.fem.stress import StressRecovery

# Components antisymmetric about θ = 0: sin nθ in the cosine family and −cos nθ in the sine family; all
# others vary as cos nθ and sin nθ.
ANTISYMMETRIC_DISPLACEMENT = np.array([False, True, False])
ANTISYMMETRIC_STRESS = np.array([False, False, False, False, True, True])

MIN_TRUNCATED = 6  # a series that ends below this harmonic is complete, not truncated


@dataclass(frozen=True)
class HarmonicResponse:
    """Fourier amplitudes of the solution of load cases.

    The axes are harmonics, cases, families (cosine, sine), then
    displacement: (nodes, 3), mm; stress: (elements, 4 points, 6), MPa; traction: (pairs, 3), MPa, of the
    sleeve on the shell along +r (contact pressure), +θ, +z. tail: (cases,), MPa, estimated stress in the
    harmonics beyond the last.
    """

    harmonics: tuple[int, ...]
    displacement: np.ndarray
    stress: np.ndarray
    traction: np.ndarray
    tail: np.ndarray
    recovery: StressRecovery

    def displacement_at(self, nodes: np.ndarray, theta: np.ndarray) -> np.ndarray:
        """Displacement (u_r, u_θ, u_z) at nodes and angles (rad), (cases, nodes, angles, 3), mm."""
        amplitude = self.displacement[:, :, :, nodes]
        return fourier_sum(self.harmonics, amplitude, theta, ANTISYMMETRIC_DISPLACEMENT)

    def traction_at(self, theta: np.ndarray) -> np.ndarray:
        """Contact pressure and shear at the pairs and angles (rad), (cases, pairs, angles, 3), MPa."""
        return fourier_sum(self.harmonics, self.traction, theta, ANTISYMMETRIC_DISPLACEMENT)

    def linearised_at(self, body: str, theta: np.ndarray) -> np.ndarray:
        """Membrane + bending stress of one body at its bore and outside and at angles (rad), MPa.

        Shape (cases, 2, lines, angles, 6), at the stress classification lines `recovery.lines[body]`; the
        mean of the two surfaces is the membrane stress.
        """
        return linearised_sum(self.harmonics, self.linearised(body), theta)

    def linearised(self, body: str) -> np.ndarray:
        """Fourier amplitudes of the same stress, (harmonics, cases, families, 2 · lines, 6), MPa."""
        wall, points = self.recovery.lines[body], self._points
        membrane, bending = wall.membrane(points), wall.bending(points)
        return _by_place(np.stack([membrane - bending, membrane + bending]))

    def strict(self, body: str, lines: np.ndarray, *, face: int) -> np.ndarray:
        """The same at some of the lines, not averaged along z: see ClassificationLines.strict."""
        return _by_place(self.recovery.lines[body].strict(self._points, lines, face=face))

    @property
    def _points(self) -> np.ndarray:
        """Point stress, (elements · 4, harmonics, cases, families, 6), MPa."""
        H, K, F, elements, corners, _ = self.stress.shape
        return np.moveaxis(self.stress.reshape(H, K, F, elements * corners, 6), 3, 0)


def _by_place(surfaces: np.ndarray) -> np.ndarray:
    """Amplitudes at both surfaces of lines, (2, lines, harmonics, cases, families, 6), with the places
    behind the families, (harmonics, cases, families, 2 · lines, 6)."""
    _, count, H, K, F, _ = surfaces.shape
    return np.moveaxis(surfaces.reshape(2 * count, H, K, F, 6), 0, 3)


def linearised_sum(harmonics: Sequence[int], amplitude: np.ndarray, theta: np.ndarray) -> np.ndarray:
    """Membrane + bending stress at angles theta (rad) from its amplitudes, (cases, 2, lines, angles, 6)."""
    summed = fourier_sum(harmonics, amplitude, theta, ANTISYMMETRIC_STRESS)
    cases, places = summed.shape[:2]
    return summed.reshape(cases, 2, places // 2, len(theta), 6)


def turned(harmonics: Sequence[int], amplitude: np.ndarray, phi: np.ndarray) -> np.ndarray:
    """Fourier amplitudes of one field turned about the axis by each of the angles phi (rad).

    amplitude: (harmonics, families, ...). Returns (harmonics, angles, families, ...). What varies as
    cos nθ becomes cos n(θ − φ), and the same for the components that vary as sin nθ and −cos nθ.
    """
    angle = np.multiply.outer(np.asarray(harmonics, dtype=float), np.asarray(phi, dtype=float))
    shape = (*angle.shape, *(1,) * (amplitude.ndim - 2))
    c, s = np.cos(angle).reshape(shape), np.sin(angle).reshape(shape)
    cosine, sine = amplitude[:, None, 0], amplitude[:, None, 1]
    return np.stack([c * cosine - s * sine, s * cosine + c * sine], axis=2)


def fourier_sum(
    harmonics: Sequence[int], amplitude: np.ndarray, theta: np.ndarray, antisymmetric: np.ndarray
) -> np.ndarray:
    """Fourier sum at angles theta (rad), (cases, places, angles, components).

    amplitude: (harmonics, cases, families, places, components). antisymmetric: (components,) bool, those
    that vary as sin nθ in the cosine family and −cos nθ in the sine family.
    """
    angle = np.multiply.outer(np.asarray(harmonics, dtype=float), np.asarray(theta, dtype=float))
    cosine, sine = np.cos(angle), np.sin(angle)
    total = np.empty((*amplitude.shape[1:2], amplitude.shape[3], len(theta), amplitude.shape[4]))
    for which, waves in ((~antisymmetric, (cosine, sine)), (antisymmetric, (sine, -cosine))):
        wave = np.stack(waves, axis=1)
        total[..., which] = np.einsum("hkfpc,hft->kptc", amplitude[..., which], wave, optimize=True)
    return total


def tail(harmonics: Sequence[int], size: np.ndarray) -> np.ndarray:
    """Estimated truncation error of a Fourier series, (cases,), from amplitudes (harmonics, cases).

        Σ_{m > n} C m^−2,   C = the larger n² · amplitude of the last two that are not zero

    with all terms of one sign. The series of a pressure with a kink, such as a half cosine, decays like
    that where it acts; away from there the response decays faster. A series that ends below MIN_TRUNCATED
    is taken as complete.
    """
    size = np.asarray(size, dtype=float)
    n = np.asarray(harmonics, dtype=float)
    left = np.zeros(size.shape[1])
    for case, amplitude in enumerate(size.T):
        present = np.flatnonzero(amplitude > 1e-12 * np.max(amplitude, initial=0.0))
        if len(present) < 2 or n[present[-1]] < MIN_TRUNCATED:
            continue
        last = present[-2:]
        step = n[last[1]] - n[last[0]]
        following = n[last[1]] + step * np.arange(1, 400)
        left[case] = np.max(amplitude[last] * n[last] ** 2) * float(np.sum(following**-2.0))
    return left
