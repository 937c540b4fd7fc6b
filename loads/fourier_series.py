"""Fourier series in the angle θ, with closed-form coefficients for common load distributions."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from operator import add

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class FourierSeries:
    """Fourier series f(θ) = Σ cos[n] cos nθ + sin[n] sin nθ, n = 0 … N; sin[0] is zero; θ in radians."""

    cos: tuple[float, ...]
    sin: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.cos) != len(self.sin) or not self.cos:
            raise ValueError("a series needs as many sine as cosine coefficients, at least one")
        if self.sin[0] != 0.0:
            raise ValueError("the sine coefficient of n = 0 must be zero")

    def __call__(self, theta: ArrayLike) -> np.ndarray:
        """Value at theta (radians, array or float), shaped like theta."""
        theta = np.asarray(theta, dtype=float)
        n = np.arange(len(self.cos))
        angles = theta[..., None] * n
        return np.cos(angles) @ np.array(self.cos) + np.sin(angles) @ np.array(self.sin)

    def __add__(self, other: FourierSeries) -> FourierSeries:
        size = max(len(self.cos), len(other.cos))
        a, b = self.to_length(size), other.to_length(size)
        return FourierSeries(tuple(map(add, a.cos, b.cos)), tuple(map(add, a.sin, b.sin)))

    def __mul__(self, factor: float) -> FourierSeries:
        return FourierSeries(tuple(c * factor for c in self.cos), tuple(s * factor for s in self.sin))

    __rmul__ = __mul__

    def to_length(self, size: int) -> FourierSeries:
        """The series padded with zeros or truncated to `size` coefficients."""
        if size == len(self.cos):
            return self
        pad = (0.0,) * max(0, size - len(self.cos))
        return FourierSeries((self.cos + pad)[:size], (self.sin + pad)[:size])

    def rotated(self, angle: float) -> FourierSeries:
        """The same function rotated by `angle` radians from x towards y: f(θ - angle)."""
        n = np.arange(len(self.cos))
        c, s = np.cos(n * angle), np.sin(n * angle)
        return _series(
            np.multiply(self.cos, c) - np.multiply(self.sin, s),
            np.multiply(self.cos, s) + np.multiply(self.sin, c),
        )

    def times_cos(self) -> FourierSeries:
        """f(θ) cos θ; the last coefficient is exact only if f has none beyond N."""
        a, b = self._widened()
        n = range(1, len(a) - 1)
        return FourierSeries(
            (0.5 * a[1], *(0.5 * (a[k - 1] + a[k + 1]) for k in n)),
            (0.0, *(0.5 * (b[k - 1] + b[k + 1]) for k in n)),
        )

    def times_sin(self) -> FourierSeries:
        """f(θ) sin θ; the last coefficient is exact only if f has none beyond N."""
        a, b = self._widened()
        n = range(1, len(a) - 1)
        return FourierSeries(
            (0.5 * b[1], *(0.5 * (b[k + 1] - b[k - 1]) for k in n)),
            (0.0, *(0.5 * (a[k - 1] - a[k + 1]) for k in n)),
        )

    def _widened(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Coefficients padded with two zeros; that of n = 0 is doubled, as all of it goes to n = 1."""
        return (2.0 * self.cos[0], *self.cos[1:], 0.0, 0.0), (*self.sin, 0.0, 0.0)


def _series(cosines: ArrayLike, sines: ArrayLike) -> FourierSeries:
    sines = np.array(sines, dtype=float)
    sines[0] = 0.0
    return FourierSeries(tuple(np.asarray(cosines, dtype=float).tolist()), tuple(sines.tolist()))


def zero(harmonics: int) -> FourierSeries:
    return FourierSeries((0.0,) * (harmonics + 1), (0.0,) * (harmonics + 1))


def uniform(value: float) -> FourierSeries:
    """A constant value all round."""
    return FourierSeries((value,), (0.0,))


def two_sided_cosine(amplitude: float, *, towards: float) -> FourierSeries:
    """amplitude · cos(θ - towards) all round, pushing on one side and pulling on the other; radians."""
    return FourierSeries((0.0, amplitude * cos(towards)), (0.0, amplitude * sin(towards)))


def half_cosine(amplitude: float, *, towards: float, harmonics: int) -> FourierSeries:
    """amplitude · cos φ where |φ| = |θ - towards| < 90°, else zero.

        a_0 = 1/π,  a_1 = 1/2,  a_n = 2 cos(nπ/2) / (π (1 - n²)) for n >= 2

    As a radial traction on radius R and length L its resultant is amplitude · (π/2) R L.
    """
    shape = [1.0 / pi, 0.5]
    shape += [2.0 * cos(n * pi / 2.0) / (pi * (1.0 - n * n)) for n in range(2, harmonics + 1)]
    return _even(np.array(shape[: harmonics + 1]) * amplitude, towards)


def patch(value: float, *, centre: float, half_angle: float, harmonics: int) -> FourierSeries:
    """A constant value where |θ - centre| < half_angle (radians, 0 to π), else zero.

    a_0 = β/π,  a_n = 2 sin(nβ) / (nπ)
    """
    if not 0.0 < half_angle <= pi:
        raise ValueError(f"half_angle must lie in (0, π], got {half_angle}")
    n = np.arange(1, harmonics + 1)
    shape = np.concatenate([[half_angle / pi], 2.0 * np.sin(n * half_angle) / (n * pi)])
    return _even(shape * value, centre)


def _even(shape: np.ndarray, centre: float) -> FourierSeries:
    """The series Σ shape[n] cos n(θ - centre)."""
    n = np.arange(len(shape))
    return _series(shape * np.cos(n * centre), shape * np.sin(n * centre))
