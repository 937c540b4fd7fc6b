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
    """How numbers of one kind settle from mesh to mesh.

        error = share · max(last change, before · change before it) + floor · |value|

    Were the error to fall like h^p with element lengths 1.5 apart, that of the finest mesh would be the
    last change over 1.5^p - 1: twice the change for p = 1, a quarter of it for p = 4. The change before
    counts too because two meshes may agree by chance; shrunk by `before` it is what the last change
    should have been. All three are fitted to random designs against overkill solutions;
    tests/studies/error_bars.py measures on others how well they hold.
    """

    share: float
    before: float
    floor: float


WHOLE = Kind(1.4, 0.25, 1e-6)
"""Integrals over the joint: mean pressure, normal force, friction torque, and what is made of them."""

MOVE = Kind(1.65, 0.25, 3e-6)
"""Displacements: how a bore closes, how the outside grows."""

PEAK = Kind(1.2, 0.7, 3e-4)
"""Stress of the fit at a place, or the greatest of it: that may sit elsewhere on another mesh."""

SERVICE = Kind(1.2, 0.6, 4e-4)
"""The same in service, where angle and load case of the greatest may change too."""

LOWEST = Kind(2.5, 0.3, 1e-3)
"""Lowest contact pressure in service: at the ends of contact, where it is steepest."""

ALONE = 2.0
"""What the last change is multiplied by where it is the only one: nothing says that it is no chance."""


def from_meshes(
    fine: float, coarse: float | None = None, coarsest: float | None = None, *, kind: Kind = PEAK
) -> Estimate:
    """The value on the finest mesh, with an error judged from the same number on one or two coarser ones.

    Of one mesh alone there is nothing to judge by, and no error is stated.
    """
    if coarse is None:
        return Estimate(float(fine))
    last = abs(fine - coarse)
    change = ALONE * last if coarsest is None else max(last, kind.before * abs(coarse - coarsest))
    return Estimate(float(fine), float(kind.share * change + kind.floor * abs(fine)))
