"""Lands: cylindrical or tapered stretches of a turned or bored surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Protocol, TypeVar

import numpy as np

End = Literal["left", "right"]
"""An end of the shell or the sleeve; the right one has the greater z."""


class Stretch(Protocol):
    """A land of a surface, or a zone of the sleeve's bore."""

    @property
    def z_start(self) -> float: ...

    @property
    def z_end(self) -> float: ...


AnyStretch = TypeVar("AnyStretch", bound=Stretch)


@dataclass(frozen=True)
class Land:
    """A cylindrical or slightly tapered stretch of a surface of revolution.

    z_start, z_end: ends along the shell axis, mm, z_start < z_end.
    diameter_start, diameter_end: diameter at the two ends, mm; equal unless tapered.
    plus_minus: half-width of the stated tolerance or uncertainty on the diameter, mm, >= 0.
    """

    z_start: float
    z_end: float
    diameter_start: float
    diameter_end: float
    plus_minus: float = 0.0

    @property
    def length(self) -> float:
        return self.z_end - self.z_start

    @property
    def mean_diameter(self) -> float:
        return 0.5 * (self.diameter_start + self.diameter_end)

    @property
    def least_diameter(self) -> float:
        return min(self.diameter_start, self.diameter_end)

    @property
    def greatest_diameter(self) -> float:
        return max(self.diameter_start, self.diameter_end)

    def diameter_at(self, z):
        """Diameter, mm, at z (mm, array or float), linear between the ends."""
        share = (np.asarray(z, dtype=float) - self.z_start) / self.length
        return self.diameter_start + share * (self.diameter_end - self.diameter_start)

    def reaching(self, z_start: float, z_end: float) -> Land:
        """The same surface from z_start to z_end, mm, cut off or carried on."""
        ends = float(self.diameter_at(z_start)), float(self.diameter_at(z_end))
        return Land(z_start, z_end, *ends, self.plus_minus)


def cylinder(z_start: float, z_end: float, diameter: float, plus_minus: float = 0.0) -> Land:
    """A land of constant diameter."""
    return Land(z_start, z_end, diameter, diameter, plus_minus)


def land_at(lands: tuple[Land, ...], z: float) -> Land | None:
    """The land that covers z, or None; at a common end, the left one."""
    for land in lands:
        if land.z_start <= z <= land.z_end:
            return land
    return None


def at_end(stretches: Sequence[AnyStretch], end: End) -> AnyStretch:
    """The land or zone that reaches farthest towards one end, in whatever order they are listed."""
    if end == "left":
        return min(stretches, key=lambda stretch: stretch.z_start)
    return max(stretches, key=lambda stretch: stretch.z_end)


def opposite(end: End) -> End:
    """The other end."""
    return "right" if end == "left" else "left"
