"""Forces per area on the faces of the bodies, as Fourier series in the angle."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import ArrayLike

from loads.series import Series, zero

HARMONICS = 12
"""Highest n carried by loads that press on part of the circumference only."""


@dataclass(frozen=True)
class FourierTraction:
    """Traction on a band of one face, MPa, positive along +r, +θ, +z.

        t(θ, s) = f(s) Σ_n (cos[n] cos nθ + sin[n] sin nθ),  n = 0 … N, per component

    f runs linearly from factor_start at `start` to factor_end at `end`, and is zero outside.
    face: "BODY.bore", "BODY.outside", "BODY.left" or "BODY.right", BODY "shell" or "sleeve".
    level: radius of a cylindrical face, z of an end face, mm; resultants are reckoned with it.
    start, end: limits in z on a cylindrical face, in r on an end face, mm.
    A pressure p pressing a bore outwards is radial_cos = (p,): the bore takes it along +r.
    """

    face: str
    level: float
    start: float
    end: float
    radial_cos: tuple[float, ...]
    radial_sin: tuple[float, ...]
    hoop_cos: tuple[float, ...]
    hoop_sin: tuple[float, ...]
    axial_cos: tuple[float, ...]
    axial_sin: tuple[float, ...]
    factor_start: float = 1.0
    factor_end: float = 1.0

    def __post_init__(self) -> None:
        if not self.start < self.end:
            raise ValueError(f"{self.face}: need start < end, got {self.start} and {self.end} mm")
        if not self.on_end_face and not self.level > 0.0:
            raise ValueError(f"{self.face}: need a positive radius, got {self.level} mm")
        if len({len(c) for c in self._coefficients}) != 1:
            raise ValueError(f"{self.face}: coefficient tuples differ in length")

    @property
    def _coefficients(self) -> tuple[tuple[float, ...], ...]:
        return (
            self.radial_cos,
            self.radial_sin,
            self.hoop_cos,
            self.hoop_sin,
            self.axial_cos,
            self.axial_sin,
        )

    @property
    def on_end_face(self) -> bool:
        return self.face.endswith(("left", "right"))

    @property
    def harmonics(self) -> int:
        """Highest n."""
        return len(self.radial_cos) - 1

    @property
    def radial(self) -> Series:
        return Series(self.radial_cos, self.radial_sin)

    @property
    def hoop(self) -> Series:
        return Series(self.hoop_cos, self.hoop_sin)

    @property
    def axial(self) -> Series:
        return Series(self.axial_cos, self.axial_sin)

    def factor(self, s: ArrayLike) -> np.ndarray:
        """f at s (mm, array or float): linear between the limits, zero outside them."""
        s = np.asarray(s, dtype=float)
        share = (s - self.start) / (self.end - self.start)
        value = self.factor_start + share * (self.factor_end - self.factor_start)
        return np.where((share >= 0.0) & (share <= 1.0), value, 0.0)

    def value(self, theta: ArrayLike, s: ArrayLike) -> np.ndarray:
        """(t_r, t_θ, t_z), MPa, stacked last; theta in radians and s in mm broadcast."""
        parts = np.stack([self.radial(theta), self.hoop(theta), self.axial(theta)], axis=-1)
        return parts * self.factor(s)[..., None]

    def scaled(self, factor: float) -> FourierTraction:
        return replace(
            self,
            factor_start=self.factor_start * factor,
            factor_end=self.factor_end * factor,
        )

    def rotated(self, angle: float) -> FourierTraction:
        """Turned about the axis by `angle` radians from x towards y."""
        return traction(
            self.face,
            level=self.level,
            start=self.start,
            end=self.end,
            radial=self.radial.rotated(angle),
            hoop=self.hoop.rotated(angle),
            axial=self.axial.rotated(angle),
            factors=(self.factor_start, self.factor_end),
        )


def traction(
    face: str,
    *,
    level: float,
    start: float,
    end: float,
    radial: Series | None = None,
    hoop: Series | None = None,
    axial: Series | None = None,
    factors: tuple[float, float] = (1.0, 1.0),
) -> FourierTraction:
    """A FourierTraction from series; those left out are zero, short ones are padded."""
    given = [s for s in (radial, hoop, axial) if s is not None]
    size = max((len(s.cos) for s in given), default=1)
    r, h, a = ((s or zero(0)).to_length(size) for s in (radial, hoop, axial))
    return FourierTraction(face, level, start, end, r.cos, r.sin, h.cos, h.sin, a.cos, a.sin, *factors)


def resultant(tractions: Iterable[FourierTraction]) -> tuple[np.ndarray, np.ndarray]:
    """Force (x, y, z), N, and moment about the origin (x, y, z), N·mm.

    Exact: only n = 0 and n = 1 leave a resultant, whatever else a series holds.
    """
    force, moment = np.zeros(3), np.zeros(3)
    for t in tractions:
        f, m = _end_face(t) if t.on_end_face else _cylinder(t)
        force += f
        moment += m
    return force, moment


def breaks(tractions: Iterable[FourierTraction]) -> dict[str, tuple[float, ...]]:
    """Where tractions start and end, mm, rising, by face: places for lines of a mesh."""
    found: dict[str, set[float]] = {}
    for t in tractions:
        found.setdefault(t.face, set()).update((t.start, t.end))
    return {face: tuple(sorted(places)) for face, places in found.items()}


def _around(t: FourierTraction) -> tuple[np.ndarray, float, np.ndarray]:
    """∫ (t_x, t_y, t_z) dθ, ∫ t_θ dθ and ∫ t_z (cos θ, sin θ) dθ at factor one."""
    r, h, a = (s.to_length(2) for s in (t.radial, t.hoop, t.axial))
    force = np.array(
        [
            pi * (r.cos[1] - h.sin[1]),
            pi * (r.sin[1] + h.cos[1]),
            2.0 * pi * a.cos[0],
        ]
    )
    return force, 2.0 * pi * h.cos[0], pi * np.array([a.cos[1], a.sin[1]])


def _moments_of_factor(t: FourierTraction) -> tuple[float, float, float]:
    """∫ f ds, ∫ f s ds, ∫ f s² ds over the band, exact for linear f."""
    half, middle = 0.5 * (t.end - t.start), 0.5 * (t.start + t.end)
    mean, slope = 0.5 * (t.factor_start + t.factor_end), 0.5 * (t.factor_end - t.factor_start)
    plain, lever = 2.0 * half * mean, 2.0 * half**2 * slope / 3.0
    square = 2.0 * half**3 * mean / 3.0
    return plain, plain * middle + lever, plain * middle**2 + 2.0 * lever * middle + square


def _cylinder(t: FourierTraction) -> tuple[np.ndarray, np.ndarray]:
    around, twist, lever = _around(t)
    plain, times_z, _ = _moments_of_factor(t)
    radius = t.level
    force = around * plain * radius
    moment = radius * np.array(
        [
            radius * plain * lever[1] - times_z * around[1],
            times_z * around[0] - radius * plain * lever[0],
            radius * plain * twist,
        ]
    )
    return force, moment


def _end_face(t: FourierTraction) -> tuple[np.ndarray, np.ndarray]:
    around, twist, lever = _around(t)
    _, times_r, times_r2 = _moments_of_factor(t)
    force = around * times_r
    moment = np.array(
        [
            times_r2 * lever[1] - t.level * force[1],
            t.level * force[0] - times_r2 * lever[0],
            times_r2 * twist,
        ]
    )
    return force, moment
