"""A number from the finite elements together with how wrong the mesh may make it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Estimate:
    """value and numerical error, both in the same unit; error >= 0, meant as value ± error."""

    value: float
    error: float = 0.0

    def __mul__(self, factor: float) -> Estimate:
        return Estimate(self.value * factor, self.error * abs(factor))

    __rmul__ = __mul__


@dataclass(frozen=True)
class Kind:
    """How numbers of one kind settle from mesh to mesh: shares of the last change, of the change before it,
    and of the value itself.

    Were the error to fall like h^p with element lengths 1.5 apart, that of the finest mesh would be the
    last change over 1.5^p - 1: twice the change for p = 1, a quarter of it for p = 4. The change before
    counts too because two meshes may agree by chance. The shares are fitted to random designs against
    overkill solutions; tests/studies/error_bars.py measures on others how well they hold.
    """

    last: float
    before: float
    floor: float


WHOLE = Kind(0.75, 0.25, 3e-6)
"""Integrals over the joint: mean pressure, normal force, friction torque, and what is made of them."""

MOVE = Kind(1.0, 0.4, 1e-5)
"""Displacements: how a bore closes, how the outside grows."""

PEAK = Kind(0.6, 0.6, 1e-4)
"""Stress and pressure at a place, or the greatest of them: it may sit elsewhere on another mesh."""

BEFORE = 2.0
"""The change before the last as a multiple of it, where there are only two meshes: that of p = 1.7."""


def from_meshes(
    fine: float, coarse: float | None = None, coarsest: float | None = None, *, kind: Kind = PEAK
) -> Estimate:
    """The value on the finest mesh, with an error judged from the same number on one or two coarser ones.

        error = last |fine − coarse| + before |coarse − coarsest| + floor |fine|

    Of one mesh alone there is nothing to judge by, and no error is stated.
    """
    if coarse is None:
        return Estimate(float(fine))
    change = abs(fine - coarse)
    before = BEFORE * change if coarsest is None else abs(coarse - coarsest)
    return Estimate(float(fine), float(kind.last * change + kind.before * before + kind.floor * abs(fine)))
