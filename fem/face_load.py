"""Consistent nodal loads of axisymmetric tractions on named faces.

f(v) = ∫ t · v r ds   along the face, ds in the meridian plane
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hoopwright.fem.mesh import Face, Mesh
from hoopwright.fem.strain import COMPONENTS

# Three-point Gauss rule on [0, 1]: exact to degree five, and t · N · r has degree four at most.
POINTS, WEIGHTS = (
    0.5 * (x + s) for x, s in zip(np.polynomial.legendre.leggauss(3), (1.0, 0.0), strict=True)
)


def face_load(
    mesh: Mesh,
    face: str,
    traction: np.ndarray | Callable,
    *,
    start: float = -np.inf,
    end: float = np.inf,
) -> np.ndarray:
    """Consistent nodal load of a traction, (3 · nodes,), N per radian.

    traction: (t_r, t_θ, t_z), MPa, positive along +r, +θ, +z; or a function of (r, z), each
    (sides, points), that returns shape (3, sides, points). start, end: loaded part of the face, mm, in z
    on cylindrical faces and in r on end faces; a side crossed by a limit is loaded in part.
    """
    found = mesh.face(face)
    first, span, low, high = loaded_sides(mesh, found, start, end)
    s = low[:, None] + (high - low)[:, None] * POINTS
    r, z = first[:, :, None] + span[:, :, None] * s
    t = traction(r, z) if callable(traction) else np.asarray(traction, float)[:, None, None]
    t = np.broadcast_to(t, (COMPONENTS, *r.shape))
    ds = np.hypot(*span)[:, None] * (high - low)[:, None] * WEIGHTS
    local = np.einsum("snp,csp,sp->snc", side_shapes(s), t, r * ds)
    load = np.zeros((mesh.nodes.shape[1], COMPONENTS))
    np.add.at(load, found.nodes, local)
    return load.ravel()


def loaded_sides(
    mesh: Mesh, face: Face, start: float, end: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """First corner and span of every side, (2, sides) each, mm, and the loaded part of each side.

    The loaded part runs from low to high, (sides,) each, as fractions of the side; they are equal where a
    side is not loaded.
    """
    along = 0 if face.name.endswith((".left", ".right")) else 1
    first, last = mesh.nodes[:, face.nodes[:, 0]], mesh.nodes[:, face.nodes[:, 2]]
    span = last - first
    low = np.clip((start - first[along]) / span[along], 0.0, 1.0)
    high = np.clip((end - first[along]) / span[along], 0.0, 1.0)
    return first, span, low, high


def side_shapes(s: np.ndarray) -> np.ndarray:
    """Shape functions of a three-node side at fractions s (sides, points): (sides, 3, points)."""
    return np.stack([(1 - s) * (1 - 2 * s), 4 * s * (1 - s), s * (2 * s - 1)], axis=1)
