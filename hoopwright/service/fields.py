"""Service stress and contact traction on a grid of stations and angles.

They do not depend on the fit and are found once per mesh.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright.fem import MeshedJoint
from hoopwright.fem.elastic import MISES
from hoopwright.fem.fourier_sum import (
    ANTISYMMETRIC_DISPLACEMENT,
    HarmonicResponse,
    fourier_sum,
    linearised_sum,
)
from hoopwright.service.instants import Instants

SURFACES = ("bore", "outside")


@dataclass(frozen=True)
class WallField:
    """Membrane + bending stress of one body from service loads, on one mesh.

    z: (lines,), mm; r: (2, lines), mm, bore and outside; theta: (angles,), rad.
    stress: (instants, 2, lines, angles, 6), MPa, from the loads alone; the last instant is no load.
    static: (2, lines, angles, 6), MPa, constant stress of an out-of-round bore, added at every instant.
    """

    z: np.ndarray
    r: np.ndarray
    theta: np.ndarray
    stress: np.ndarray
    static: np.ndarray

    @cached_property
    def _quadratic_terms(self) -> tuple[np.ndarray, np.ndarray]:
        """q² of service alone, and the factors of the fit in the mixed term. The fit is axisymmetric: its
        rθ and θz vanish, and four factors remain."""
        total = self.stress + self.static
        weighed = total @ MISES
        return (
            np.einsum("...i,...i->...", total, weighed),
            np.moveaxis(2.0 * weighed[..., :4], -1, 0).copy(),
        )

    def von_mises(self, fit: np.ndarray, instants: slice = slice(None)) -> np.ndarray:
        """Equivalent stress of fit + service at some instants, (instants, 2, lines, angles), MPa.

        fit: stress of the fit at bore and outside, (2, lines, 6), MPa. q² is expanded, so that another
        interference costs four products per point.
        """
        own = np.einsum("sli,ij,slj->sl", fit, MISES, fit)
        square, cross = self._quadratic_terms
        total = square[instants] + own[..., None]
        for k in range(4):
            total += cross[k, instants] * fit[..., k, None]
        return np.sqrt(np.maximum(total, 0.0))


@dataclass(frozen=True)
class SeatField:
    """Contact traction from service loads, averaged along z about every pair with a weight that falls
    linearly to zero over `averaging_length`, mm, to either side.

    z, r: (pairs,), mm; weight: (pairs,), share of the seat area. average: (pairs, pairs), averaging matrix.
    pressure, shear: (instants, pairs, angles), MPa; the last instant is no load. pressure is the change by
    service, compression positive; shear is the resultant of both directions. static: (pairs, angles),
    MPa, constant pressure of an out-of-round bore.
    """

    z: np.ndarray
    r: np.ndarray
    theta: np.ndarray
    weight: np.ndarray
    average: np.ndarray
    averaging_length: float
    pressure: np.ndarray
    shear: np.ndarray
    static: np.ndarray


def wall_field(
    instants: Instants,
    solved: HarmonicResponse,
    static: HarmonicResponse | None,
    body: str,
    theta: np.ndarray,
) -> WallField:
    """Service stress of both surfaces of one body at angles theta, rad. solved: the parts of the loads."""
    wall = solved.recovery.lines[body]
    amplitude = instants.amplitudes(solved.harmonics, solved.linearised(body))
    loaded = linearised_sum(solved.harmonics, amplitude, theta)
    no_stress = np.zeros(loaded.shape[1:])
    static_stress = no_stress if static is None else static.linearised_at(body, theta)[0]
    stress = np.concatenate([loaded, np.zeros((1, *static_stress.shape))])
    return WallField(wall.z, np.stack([wall.inner, wall.outer]), theta, stress, static_stress)


def seat_field(
    meshed_joint: MeshedJoint,
    closed: np.ndarray,
    instants: Instants,
    solved: HarmonicResponse,
    static: HarmonicResponse | None,
    theta: np.ndarray,
    *,
    averaging_length: float,
) -> SeatField:
    """Service traction at the closed pairs. solved: the parts of the loads; averaging_length: along z, mm,
    see SeatField.

    The traction of a stuck joint is singular at its ends; averaged over about a wall thickness it
    converges as the mesh is refined.
    """
    pairs = meshed_joint.interface
    z, weight = pairs.z[closed], pairs.weight[closed]
    average = averaging_matrix(z, weight, averaging_length)
    amplitude = instants.amplitudes(solved.harmonics, solved.traction[:, :, :, closed])
    traction = fourier_sum(solved.harmonics, average @ amplitude, theta, ANTISYMMETRIC_DISPLACEMENT)
    traction = np.concatenate([traction, np.zeros((1, *traction.shape[1:]))])
    static_stress = np.zeros((len(z), len(theta)))
    if static is not None:
        static_stress = average @ static.traction_at(theta)[0, closed, :, 0]
    return SeatField(
        z,
        pairs.r[closed],
        theta,
        weight / weight.sum(),
        average,
        averaging_length,
        traction[..., 0],
        np.hypot(traction[..., 1], traction[..., 2]),
        static_stress,
    )


def averaging_matrix(z: np.ndarray, weight: np.ndarray, length: float) -> np.ndarray:
    """Average along the seat about every pair, (pairs, pairs). z, weight: of the pairs; length: mm, over
    which the weight falls linearly to zero to either side: one with sharp edges would jump from node to
    node as the mesh changes."""
    average = np.maximum(1.0 - np.abs(z[:, None] - z) / length, 0.0) * weight
    return np.asarray(average / average.sum(axis=1, keepdims=True))
