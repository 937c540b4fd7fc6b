"""Service stress and contact traction on a grid of wall lines and angles: everything the fit does not
change, worked out once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fem import Assembly
from fem.round import SWAPPED_STRESS, Response, over_angles

SURFACES = ("bore", "outside")

# von Mises: q² = σᵀ MISES σ, order (rr, θθ, zz, rz, rθ, θz)
MISES = np.zeros((6, 6))
MISES[:3, :3] = 1.5 * np.eye(3) - 0.5
MISES[3:, 3:] = 3.0 * np.eye(3)


@dataclass(frozen=True)
class WallField:
    """Membrane + bending stress of one body from service loads, on one mesh.

    z: (lines,), mm; r: (2, lines), mm, bore and outside; theta: (angles,), rad.
    stress: (cases + 1, 2, lines, angles, 6), MPa, from the loads alone, the last one of no load.
    standing: (2, lines, angles, 6), what an out-of-round bore adds to every case.
    """

    z: np.ndarray
    r: np.ndarray
    theta: np.ndarray
    stress: np.ndarray
    standing: np.ndarray

    @cached_property
    def _expanded(self) -> tuple[np.ndarray, np.ndarray]:
        """q² of what does not change, and what multiplies the fit: its rθ and θz vanish, as it is the
        same all round, and four products remain."""
        total = self.stress + self.standing
        weighed = total @ MISES
        return (np.einsum("...i,...i->...", total, weighed),
                np.moveaxis(2.0 * weighed[..., :4], -1, 0).copy())

    def von_mises(self, fit: np.ndarray) -> np.ndarray:
        """Equivalent stress of fit + service, (cases + 1, 2, lines, angles), MPa.

        fit: (2, lines, 6), MPa, at bore and outside. Expanded into squares, so that another
        interference costs four products per point.
        """
        own = np.einsum("sli,ij,slj->sl", fit, MISES, fit)
        square, cross = self._expanded
        total = square + own[..., None]
        for k in range(4):
            total += cross[k] * fit[..., k, None]
        return np.sqrt(np.maximum(total, 0.0))


@dataclass(frozen=True)
class SeatField:
    """Contact traction from service loads, averaged along z about every pair, with a
    weight that falls to nothing over `stretch` mm either way.

    z, r: (pairs,), mm; weight: (pairs,), share of the seat. average: (pairs, pairs), the averaging.
    pressure, shear: (cases + 1, pairs, angles), MPa, the last one of no load; pressure is a change,
    compression positive; shear is the resultant of both directions. standing: (pairs, angles), pressure
    of an out-of-round bore.
    """

    z: np.ndarray
    r: np.ndarray
    theta: np.ndarray
    weight: np.ndarray
    average: np.ndarray
    stretch: float
    pressure: np.ndarray
    shear: np.ndarray
    standing: np.ndarray


def wall_field(
    response: Response, standing: Response | None, body: str, theta: np.ndarray
) -> WallField:
    """Both surfaces of one body, at angles theta (rad)."""
    wall = response.recovery.lines[body]
    loaded = _surfaces(response, body, theta)
    still = np.zeros(loaded.shape[1:]) if standing is None else _surfaces(standing, body, theta)[0]
    stress = np.concatenate([loaded, np.zeros((1, *still.shape))])
    return WallField(wall.z, np.stack([wall.inner, wall.outer]), theta, stress, still)


def _surfaces(response: Response, body: str, theta: np.ndarray) -> np.ndarray:
    """Membrane + bending at bore and outside, (cases, 2, lines, angles, 6), MPa."""
    wall = response.recovery.lines[body]
    H, K, F = response.stress.shape[:3]
    count = response.stress.shape[3] * response.stress.shape[4]
    points = np.moveaxis(response.stress.reshape(H, K, F, count, 6), 3, 0)
    membrane, bending = wall.membrane(points), wall.bending(points)
    ends = np.stack([membrane - bending, membrane + bending])
    amplitude = np.moveaxis(ends.reshape(2 * len(wall.z), H, K, F, 6), 0, 3)
    summed = over_angles(response.harmonics, amplitude, theta, SWAPPED_STRESS)
    return summed.reshape(K, 2, len(wall.z), len(theta), 6)


def seat_field(
    assembly: Assembly, closed: np.ndarray, response: Response, standing: Response | None,
    theta: np.ndarray, *, stretch: float,
) -> SeatField:
    """Traction on the closed pairs. stretch: length along z over which it is averaged, mm.

    A stuck joint has a singular traction at its ends; averaged over about a wall thickness it settles
    as the mesh is refined.
    """
    pairs = assembly.interface
    z, weight = pairs.z[closed], pairs.weight[closed]
    # a weight that falls off to both sides: one with sharp edges jumps from node to node with the mesh
    average = np.maximum(1.0 - np.abs(z[:, None] - z) / stretch, 0.0) * weight
    average /= average.sum(axis=1, keepdims=True)
    traction = np.einsum("sp,kptc->kstc", average, response.traction_at(theta)[:, closed], optimize=True)
    traction = np.concatenate([traction, np.zeros((1, *traction.shape[1:]))])
    still = np.zeros((len(z), len(theta)))
    if standing is not None:
        still = average @ standing.traction_at(theta)[0, closed, :, 0]
    return SeatField(z, pairs.r[closed], theta, weight / weight.sum(), average, stretch,
                     traction[..., 0], np.hypot(traction[..., 1], traction[..., 2]), still)
