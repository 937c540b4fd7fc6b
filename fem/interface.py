"""Node pairs that face each other across the joint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from hoopwright.fem.errors import MeshError
from hoopwright.fem.mesh import Mesh
from hoopwright.geometry.joint import Seat
from hoopwright.geometry.stations import END_TOLERANCE

Length = TypeVar("Length", float, np.ndarray)


def radial(diametral: Length) -> Length:
    """Radial interference, or change of it, that the solvers take: half of a diametral one, mm."""
    return 0.5 * diametral


@dataclass(frozen=True)
class Interface:
    """Matching nodes of sleeve and shell along the seats, in order of z.

    sleeve, shell: node numbers, (pairs,). z, r: position, (pairs,), mm. weight: ∫ N r dz, (pairs,), mm²,
    by the three-point Gauss–Lobatto rule, whose points are the nodes. seat_share: (seats, pairs),
    fraction of each pair's weight that lies on each seat; columns sum to one.
    """

    sleeve: np.ndarray
    shell: np.ndarray
    z: np.ndarray
    r: np.ndarray
    weight: np.ndarray
    seat_share: np.ndarray

    @property
    def area_by_seat(self) -> np.ndarray:
        """∫ dA over each seat, (seats,), mm²."""
        return 2.0 * np.pi * (self.seat_share @ self.weight)

    @property
    def area_arm_by_seat(self) -> np.ndarray:
        """∫ r dA over each seat, (seats,), mm³."""
        return 2.0 * np.pi * (self.seat_share @ (self.weight * self.r))

    def profile(
        self, start: Sequence[float], end: Sequence[float], seats: Sequence[Seat], *, smoothing: float = 0.0
    ) -> np.ndarray:
        """Radial interference at the pairs, (pairs,), mm, from the diametral one at the ends of every seat.

        start, end: diametral interference, mm; smoothing: what is lost of it as the faces are smoothed, mm.
        A pair at a step belongs to both seats and takes their weighted mean, unless one of them is a
        clearance; then it takes the clearance, so that no pressure appears beyond the step.
        """
        values = np.array(
            [
                a + (self.z - s.z_start) / s.length * (b - a)
                for a, b, s in zip(start, end, seats, strict=True)
            ]
        )
        mean = np.sum(self.seat_share * values, axis=0)
        lowest = np.min(np.where(self.seat_share > 0.0, values, np.inf), axis=0)
        return radial(np.where(lowest < 0.0, lowest, mean) - smoothing)


def interface(mesh: Mesh, seats: Sequence[Seat]) -> Interface:
    """Pair the nodes of sleeve.outside and shell.bore along the seats.

    Raises MeshError when the nodes of the two faces do not coincide there, or no seat is given.
    """
    inner, outer = mesh.face("sleeve.outside").nodes, mesh.face("shell.bore").nodes
    pairs, shares = [], []
    for k, seat in enumerate(seats):
        a, b = (_within(mesh, nodes, seat) for nodes in (inner, outer))
        if a.shape != b.shape or not np.allclose(mesh.nodes[:, a], mesh.nodes[:, b], atol=1e-9):
            raise MeshError(f"nodes do not match between z = {seat.z_start:g} and {seat.z_end:g} mm")
        lobatto = np.array([1.0, 4.0, 1.0]) / 6.0
        length = mesh.nodes[1, b[:, 2]] - mesh.nodes[1, b[:, 0]]
        weight = lobatto * length[:, None] * mesh.nodes[0, b]
        pairs.append(np.stack([a.ravel(), b.ravel()], axis=1))
        shares += [(k, w) for w in weight.ravel()]
    if not pairs:
        raise MeshError("sleeve and shell have no seat in common")
    unique, pair_index = np.unique(np.concatenate(pairs), axis=0, return_inverse=True)
    share = np.zeros((len(seats), len(unique)))
    for (k, w), pair in zip(shares, pair_index.ravel(), strict=True):
        share[k, pair] += w
    order = np.argsort(mesh.nodes[1, unique[:, 1]])
    share, unique = share[:, order], unique[order]
    r, z = mesh.nodes[:, unique[:, 1]]
    weight = share.sum(axis=0)
    return Interface(unique[:, 0], unique[:, 1], z, r, weight, share / weight)


def _within(mesh: Mesh, nodes: np.ndarray, seat: Seat) -> np.ndarray:
    z = mesh.nodes[1, nodes]
    inside = (z[:, 0] > seat.z_start - 2.0 * END_TOLERANCE) & (z[:, 2] < seat.z_end + 2.0 * END_TOLERANCE)
    return nodes[inside]
