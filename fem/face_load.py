"""Loads on named faces, by quadratic elements along the face.

f(v) = ∫ t · v r ds   along the face, ds in the meridian plane
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_matrix
from skfem import ElementLineP2
from skfem.quadrature import get_quadrature
from skfem.refdom import RefLine

from hoopwright.fem.mesh import Face, Mesh
from hoopwright.fem.strain import COMPONENTS

QUADRATIC = ElementLineP2()
(POINTS,), WEIGHTS = get_quadrature(RefLine, 5)
"""Three-point Gauss rule on [0, 1]: exact to degree five, and t · N · r has degree four at most."""


@dataclass(frozen=True)
class FaceQuadrature:
    """Gauss points on one or more parts of a face.

    shape: (points, nodes), the face's quadratic functions there, by node of the mesh; r, z: (points,), mm;
    step: weight of every point along the face's own coordinate, length: along the face itself, (points,),
    mm; part: which part a point belongs to, (points,), ascending.
    """

    shape: csr_matrix
    r: np.ndarray
    z: np.ndarray
    step: np.ndarray
    length: np.ndarray
    part: np.ndarray


class FaceBasis:
    """Quadratic functions along a face, over z on cylindrical faces and over r on end faces.

    They are discontinuous from side to side, since a face may step from one radius to another.
    """

    def __init__(self, mesh: Mesh, face: Face) -> None:
        self.mesh, self.face = mesh, face
        first, last = mesh.nodes[:, face.nodes[:, 0]], mesh.nodes[:, face.nodes[:, 2]]
        self.stations = np.append(first[face.along], last[face.along, -1])
        self.slant = np.hypot(*(last - first)) / (last - first)[face.along]
        self._nodes = face.nodes[:, [0, 2, 1]]  # both ends, then the middle, as the element has them

    def quadrature(self, start: np.ndarray, end: np.ndarray) -> FaceQuadrature:
        """Gauss points on the parts of the face between start and end, (parts,) each, mm.

        A side that a limit crosses is integrated on the part of it within.
        """
        low, high = (
            np.clip(ends, start[:, None], end[:, None]) for ends in (self.stations[:-1], self.stations[1:])
        )
        part, side = np.nonzero(high > low)
        low, length = low[part, side, None], (high - low)[part, side, None]
        places, step = (low + length * POINTS).ravel(), (length * WEIGHTS).ravel()
        part, side = (np.repeat(index, len(WEIGHTS)) for index in (part, side))
        along_side = (places - self.stations[side]) / np.diff(self.stations)[side]
        functions = [QUADRATIC.lbasis(along_side[None], k)[0] for k in range(len(QUADRATIC.doflocs))]
        begins = len(functions) * np.arange(len(places) + 1)
        shape = csr_matrix(
            (np.stack(functions, axis=1).ravel(), self._nodes[side].ravel(), begins),
            shape=(len(places), self.mesh.nodes.shape[1]),
        )
        r, z = (shape @ self.mesh.nodes.T).T
        return FaceQuadrature(shape, r, z, step, step * self.slant[side], part)


def face_load(
    mesh: Mesh,
    face: str,
    traction: np.ndarray | Callable,
    *,
    start: float = -np.inf,
    end: float = np.inf,
) -> np.ndarray:
    """Consistent nodal load of a traction, (3 · nodes,), N per radian.

    traction: (t_r, t_θ, t_z), MPa, positive along +r, +θ, +z; or a function of (r, z), each (points,), that
    returns shape (3, points). start, end: loaded part of the face, mm, in z on cylindrical faces and in r
    on end faces; a side crossed by a limit is loaded in part.
    """
    at = FaceBasis(mesh, mesh.face(face)).quadrature(np.array([start]), np.array([end]))
    t = traction(at.r, at.z) if callable(traction) else np.asarray(traction, float)[:, None]
    acting = np.broadcast_to(t, (COMPONENTS, len(at.r))) * at.r * at.length
    return (at.shape.T @ acting.T).ravel()
