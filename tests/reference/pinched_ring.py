"""Thin ring pinched by two opposite forces: inextensional bending, in total and by harmonic."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.closed_form._check import Real, require_positive


@dataclass(frozen=True)
class PinchedRing:
    """Diameter changes and bending moment of a pinched ring.

    shortening: of the loaded diameter, mm. growth: of the diameter at right angles to it, mm.
    moment: bending moment under each load, N·mm, positive where it flattens the ring.
    """

    shortening: Real
    growth: Real
    moment: Real


def ring_compliance(*, radius: Real, E: Real, second_moment: Real) -> Real:
    """Compliance R³/(EI) of a thin ring, mm/N.

    radius: of the centreline, mm; E: MPa; second_moment: of the section, mm⁴.
    Raises ValueError unless all are above 0. Source: thin-ring bending.

    >>> ring_compliance(radius=10.0, E=200e3, second_moment=1.0)
    0.005
    """
    require_positive(radius=radius, E=E, second_moment=second_moment)
    return radius**3 / (E * second_moment)


def pinched_ring(*, force: Real, radius: Real, E: Real, second_moment: Real) -> PinchedRing:
    """Diameter changes and bending moment of a thin ring pinched by two opposite forces.

        shortening = (π/4 - 2/π) P R³/(EI),   growth = (2/π - 1/2) P R³/(EI),   moment = P R/π

    force P: N, inward, the same on both sides; others as in `ring_compliance`. Inextensional bending,
    shear neglected: valid for a wall below about R/10. Returns a PinchedRing. Source: classical thin ring.

    >>> ring = pinched_ring(force=10.0, radius=100.0, E=200e3, second_moment=10 * 5**3 / 12)
    >>> round(ring.shortening / 2, 6)
    0.035707
    """
    unit = force * ring_compliance(radius=radius, E=E, second_moment=second_moment)
    return PinchedRing(
        shortening=(np.pi / 4.0 - 2.0 / np.pi) * unit,
        growth=(2.0 / np.pi - 0.5) * unit,
        moment=force * radius / np.pi,
    )


def pinched_ring_harmonic(n: int, *, force: Real, radius: Real, E: Real, second_moment: Real) -> Real:
    """Contribution of the n-th harmonic of two opposite forces to the shortening, mm.

        shortening_n = 4/[π (n² - 1)²] P R³/(EI),   n = 2, 4, 6, …

    Odd harmonics of the pair are zero. The growth is the sum with signs +, -, +, …
    Arguments as in `pinched_ring`. Raises ValueError unless n is even and at least 2.
    Source: Fourier series of the thin-ring solution.

    >>> round(pinched_ring_harmonic(2, force=1.0, radius=1.0, E=1.0, second_moment=1.0), 6)
    0.141471
    """
    if n < 2 or n % 2:
        raise ValueError(f"two opposite forces have the even harmonics 2, 4, 6, … only, got {n}")
    unit = force * ring_compliance(radius=radius, E=E, second_moment=second_moment)
    return 4.0 / (np.pi * (n**2 - 1) ** 2) * unit
