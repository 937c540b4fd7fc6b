"""Frame tubes that join the shell and support it, and their footprints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians

import numpy as np

from hoopwright.geometry.land import Land, at_end

GAUSS = np.polynomial.legendre.leggauss(24)


@dataclass(frozen=True)
class Tube:
    """A tube whose axis meets the shell's axis at a right angle.

    angle: direction in which the tube leaves, degrees from x (forward) towards y (up).
    diameter: outside diameter where it meets the shell, mm.
    z_centre: where its axis meets the shell's axis, mm.
    relative_stiffness: traction on its footprint per displacement relative to the other tubes, > 0; only
    ratios between tubes matter.
    """

    angle: float
    diameter: float
    z_centre: float
    relative_stiffness: float
    name: str = "tube"

    def __post_init__(self) -> None:
        for field in ("diameter", "relative_stiffness"):
            if not 0.0 < getattr(self, field) < float("inf"):
                raise ValueError(f"{self.name}: {field} must be positive, got {getattr(self, field)}")


@dataclass(frozen=True)
class Patch:
    """A rectangle on a cylinder: z_start to z_end, mm, and centre ± half_angle, radians."""

    z_start: float
    z_end: float
    radius: float
    centre: float
    half_angle: float

    @property
    def area(self) -> float:
        return 2.0 * self.half_angle * self.radius * (self.z_end - self.z_start)


def footprint(tube: Tube, outside: Sequence[Land], *, strips: int = 6) -> tuple[Patch, ...]:
    """Footprint of the tube on the shell's outside, as strips of the same area as the true outline.

    The outline on radius R is (R sin φ)² + (z - z_centre)² = (diameter/2)², |φ| <= 90°. The whole disc is
    loaded, as the weld and the tube's own stiffness spread the load. It is divided where a land ends and
    cut off at the shell's faces; a tapered land is taken at its mean radius in each strip.
    Raises ValueError when the tube misses the shell.
    """
    half = 0.5 * tube.diameter
    left, right = at_end(outside, "left").z_start, at_end(outside, "right").z_end
    low, high = max(tube.z_centre - half, left), min(tube.z_centre + half, right)
    if not low < high:
        raise ValueError(
            f"{tube.name}: centred at z = {tube.z_centre} mm it misses the shell, "
            f"which reaches from {left} to {right} mm"
        )
    edges = set(np.linspace(low, high, strips + 1).tolist())
    edges |= {land.z_end for land in outside if low < land.z_end < high}
    cuts = sorted(edges)
    return tuple(_strip(tube, outside, a, b) for a, b in zip(cuts[:-1], cuts[1:], strict=True))


def _strip(tube: Tube, outside: Sequence[Land], a: float, b: float) -> Patch:
    middle = 0.5 * (a + b)
    land = next(land for land in outside if land.z_start <= middle <= land.z_end)
    radius = 0.5 * float(land.diameter_at(middle))
    # z = middle + h sin t makes the integrand smooth at the square-root edge of the outline
    nodes, weights = GAUSS
    half = 0.5 * tube.diameter
    t0, t1 = np.arcsin(np.clip((np.array([a, b]) - tube.z_centre) / half, -1.0, 1.0))
    t = 0.5 * (t0 + t1) + 0.5 * (t1 - t0) * nodes
    angle = np.arcsin(np.clip(half * np.cos(t) / radius, 0.0, 1.0))
    area = 0.5 * (t1 - t0) * float(weights @ (angle * half * np.cos(t)))
    return Patch(a, b, radius, radians(tube.angle), area / (b - a))
