"""Finite-element values with their numerical error, estimated from two or three meshes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Estimate:
    """A value with its numerical error, value ± error, in the same unit; error >= 0."""

    value: float
    error: float = 0.0

    def __mul__(self, factor: float) -> Estimate:
        return Estimate(self.value * factor, self.error * abs(factor))

    __rmul__ = __mul__

    def covering(self, other: Estimate) -> Estimate:
        """The same value with an error that reaches up to all that another may be."""
        return Estimate(self.value, max(self.error, other.value + other.error - self.value))


@dataclass(frozen=True)
class QuantityKind:
    """How a kind of quantity converges from mesh to mesh.

        error = share · max(last change, before · change before it) + floor · |value|

    If the error fell like h^p between meshes whose element sizes differ by a factor of 1.5, that of the
    finest mesh would be the last change divided by 1.5^p - 1: twice the change for p = 1, a quarter of it
    for p = 4. The change before it is used too, because two meshes may agree by chance; multiplied by
    `before` it is the last change to be expected. All three parameters are fitted to random designs with
    overkill reference solutions; tests/studies/error_bars.py measures on other designs how well they hold.
    """

    share: float
    before: float
    floor: float


INTEGRAL = QuantityKind(1.4, 0.25, 1e-6)
"""Integrals over the joint: mean pressure, normal force, friction torque, and values derived from them."""

DISPLACEMENT = QuantityKind(1.65, 0.25, 3e-6)
"""Displacements: bore closure, growth of the outside."""

PEAK = QuantityKind(1.2, 0.7, 3e-4)
"""Stress of the fit at a point, or its maximum, whose location may differ from mesh to mesh."""

SERVICE = QuantityKind(1.12, 0.6, 4e-4)
"""The same in service, where angle and load case of the maximum may change too."""

LOWEST_PRESSURE = QuantityKind(2.5, 0.3, 1e-3)
"""Lowest contact pressure in service; it lies at the ends of contact, where the gradient is steepest."""

COARSEST_ERROR = 0.04
"""Relative error of a stress on the coarsest mesh of three. On 80 random designs it lay within 2.7 % of
that on the finest, at rest, on the way in and under loads (tests/studies/coarsest.py)."""

SINGLE_CHANGE_FACTOR = 2.0
"""Factor on the last change where there are two meshes only, which may agree by chance."""


def from_meshes(
    fine: float, coarse: float | None = None, coarsest: float | None = None, *, kind: QuantityKind = PEAK
) -> Estimate:
    """The value on the finest mesh, with an error estimated from the values on one or two coarser meshes.

    With one mesh there is no basis for an estimate, and the error is 0.
    """
    if coarse is None:
        return Estimate(float(fine))
    last = abs(fine - coarse)
    change = (
        SINGLE_CHANGE_FACTOR * last if coarsest is None else max(last, kind.before * abs(coarse - coarsest))
    )
    return Estimate(float(fine), float(kind.share * change + kind.floor * abs(fine)))


def from_coarsest(value: float) -> Estimate:
    """A stress on the coarsest mesh of three, with the error that is usual there."""
    return Estimate(float(value), COARSEST_ERROR * abs(float(value)))
