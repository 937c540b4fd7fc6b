"""Tractions on the faces of the bodies, as Fourier series in the angle, and their resultants."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import ArrayLike

from hoopwright.loads.fourier_series import FourierSeries, zero

MAX_HARMONIC = 12
"""Default highest harmonic of loads that act on part of the circumference only."""


@dataclass(frozen=True)
class FourierTraction:
    """Traction on a band of one face, MPa, positive along +r, +θ, +z.

        t(θ, s) = f(s) Σ_n (cos[n] cos nθ + sin[n] sin nθ),  n = 0 … N, per component

    f varies linearly from factor_start at `start` to factor_end at `end`, and is zero outside.
    face: "BODY.bore", "BODY.outside", "BODY.left" or "BODY.right", with BODY "shell" or "sleeve".
    level: radius of a cylindrical face, z of an end face, mm; resultants are computed with it.
    start, end: limits in z on a cylindrical face, in r on an end face, mm.
    A pressure p in a bore is radial_cos = (p,): it pushes the bore along +r.
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
    def radial(self) -> FourierSeries:
        return FourierSeries(self.radial_cos, self.radial_sin)

    @property
    def hoop(self) -> FourierSeries:
        return FourierSeries(self.hoop_cos, self.hoop_sin)

    @property
    def axial(self) -> FourierSeries:
        return FourierSeries(self.axial_cos, self.axial_sin)

    def factor(self, s: ArrayLike) -> np.ndarray:
        """The factor f at s (mm, array or float): linear between the limits, zero outside them."""
        s = np.asarray(s, dtype=float)
        share = (s - self.start) / (self.end - self.start)
        value = self.factor_start + share * (self.factor_end - self.factor_start)
        return np.where((share >= 0.0) & (share <= 1.0), value, 0.0)

    def value(self, theta: ArrayLike, s: ArrayLike) -> np.ndarray:
        """Traction (t_r, t_θ, t_z), MPa, on the last axis; theta (radians) and s (mm) broadcast."""
        parts = np.stack([self.radial(theta), self.hoop(theta), self.axial(theta)], axis=-1)
        return parts * self.factor(s)[..., None]

    def scaled(self, factor: float) -> FourierTraction:
        return replace(
            self,
            factor_start=self.factor_start * factor,
            factor_end=self.factor_end * factor,
        )

    def rotated(self, angle: float) -> FourierTraction:
        """The same traction rotated about the axis by `angle` radians from x towards y."""
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
    radial: FourierSeries | None = None,
    hoop: FourierSeries | None = None,
    axial: FourierSeries | None = None,
    factors: tuple[float, float] = (1.0, 1.0),
) -> FourierTraction:
    """A FourierTraction from series per component; omitted ones are zero, short ones are padded."""
    given = [s for s in (radial, hoop, axial) if s is not None]
    size = max((len(s.cos) for s in given), default=1)
    r, h, a = ((s or zero(0)).to_length(size) for s in (radial, hoop, axial))
    return FourierTraction(face, level, start, end, r.cos, r.sin, h.cos, h.sin, a.cos, a.sin, *factors)


def resultant(tractions: Iterable[FourierTraction]) -> tuple[np.ndarray, np.ndarray]:
    """Resultant force (x, y, z), N, and moment about the origin (x, y, z), N·mm.

    Exact for any series, as only n = 0 and n = 1 have a resultant.
    """
    force, moment = np.zeros(3), np.zeros(3)
    for t in tractions:
        f, m = _end_face(t) if t.on_end_face else _cylinder(t)
        force += f
        moment += m
    return force, moment


def beyond(tractions: Iterable[FourierTraction], z: float, way: int) -> tuple[FourierTraction, ...]:
    """What of some tractions acts on one side of the plane z, mm. way: 1 to the right of it, -1 to the
    left."""
    found = []
    for t in tractions:
        if t.on_end_face:
            found += [t] if way * (t.level - z) > 0.0 else []
            continue
        start, end = (max(t.start, z), t.end) if way > 0 else (t.start, min(t.end, z))
        if start < end:
            slope = (t.factor_end - t.factor_start) / (t.end - t.start)
            first, last = (t.factor_start + slope * (at - t.start) for at in (start, end))
            found.append(replace(t, start=start, end=end, factor_start=first, factor_end=last))
    return tuple(found)


def breaks(tractions: Iterable[FourierTraction]) -> dict[str, tuple[float, ...]]:
    """Where tractions start and end, mm, ascending, by face; the mesh needs a line at each."""
    found: dict[str, set[float]] = {}
    for t in tractions:
        found.setdefault(t.face, set()).update((t.start, t.end))
    return {face: tuple(sorted(places)) for face, places in found.items()}


def _circumferential_integrals(t: FourierTraction) -> tuple[np.ndarray, float, np.ndarray]:
    """Integrals ∫ (t_x, t_y, t_z) dθ, ∫ t_θ dθ and ∫ t_z (cos θ, sin θ) dθ at unit factor."""
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
    """Moments ∫ f ds, ∫ f s ds, ∫ f s² ds of the factor over the band, exact for linear f."""
    half, middle = 0.5 * (t.end - t.start), 0.5 * (t.start + t.end)
    mean, slope = 0.5 * (t.factor_start + t.factor_end), 0.5 * (t.factor_end - t.factor_start)
    zeroth, first = 2.0 * half * mean, 2.0 * half**2 * slope / 3.0
    second = 2.0 * half**3 * mean / 3.0
    return zeroth, zeroth * middle + first, zeroth * middle**2 + 2.0 * first * middle + second


def _cylinder(t: FourierTraction) -> tuple[np.ndarray, np.ndarray]:
    per_length, twist, lever = _circumferential_integrals(t)
    length, times_z, _ = _moments_of_factor(t)
    radius = t.level
    force = per_length * length * radius
    moment = radius * np.array(
        [
            radius * length * lever[1] - times_z * per_length[1],
            times_z * per_length[0] - radius * length * lever[0],
            radius * length * twist,
        ]
    )
    return force, moment


def _end_face(t: FourierTraction) -> tuple[np.ndarray, np.ndarray]:
    per_length, twist, lever = _circumferential_integrals(t)
    _, times_r, times_r2 = _moments_of_factor(t)
    force = per_length * times_r
    moment = np.array(
        [
            times_r2 * lever[1] - t.level * force[1],
            t.level * force[0] - times_r2 * lever[0],
            times_r2 * twist,
        ]
    )
    return force, moment
