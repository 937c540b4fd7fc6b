"""Rigid-body modes of a harmonic, which of them are unrestrained, and whether the loads balance on them.

n = 0: axial translation (0, 0, 1), rotation about the axis (0, r, 0).
n = 1: lateral translation (1, −1, 0), tilt (z, −z, −r); towards x in the cosine family, towards y in the
sine family. These are the rigid motions a + b × x in the components (u_r, u_θ, u_z) of a harmonic.
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import qr, svd

from hoopwright.fem.errors import SolveError
from hoopwright.fem.mesh import Mesh

BALANCE_TOLERANCE = 1e-6  # fraction of the sum of force magnitudes
ROUNDING = 1e-12
"""Share of the forces of a load case in all its harmonics below which those of one harmonic are rounding:
reactions of evenly spaced tubes cancel in a harmonic, and what is left of them balances nothing."""


def rigid_modes(nodes: np.ndarray, n: int) -> np.ndarray:
    """Rigid-body modes of harmonic n at nodes (2, N): (modes, N, 3); none for n >= 2."""
    r, z = nodes
    one, none = np.ones_like(r), np.zeros_like(r)
    modes = {0: [(none, none, one), (none, r, none)], 1: [(one, -one, none), (z, -z, -r)]}.get(n, [])
    return np.array([np.stack(mode, axis=1) for mode in modes]).reshape(len(modes), len(r), 3)


def free_modes(mesh: Mesh, n: int, *, fixed: np.ndarray, tied: np.ndarray) -> np.ndarray:
    """Unrestrained rigid-body modes of the bodies, (modes, unknowns), each scaled to greatest entry 1.

    fixed: unknowns fixed at zero, (H,); tied: pairs of unknowns constrained to be equal, (T, 2).
    """
    modes_of_all = rigid_modes(mesh.nodes, n)
    if len(modes_of_all) == 0:
        return np.zeros((0, 3 * mesh.nodes.shape[1]))
    by_body = []
    for name in mesh.bodies:
        of_body = np.zeros_like(modes_of_all)
        nodes = mesh.body_nodes(name)
        of_body[:, nodes] = modes_of_all[:, nodes]
        by_body.append(of_body.reshape(len(modes_of_all), -1))
    candidates = np.concatenate(by_body)
    candidates /= np.max(np.abs(candidates), axis=1, keepdims=True)
    relative = candidates[:, tied[:, 0]] - candidates[:, tied[:, 1]]
    prevented = np.concatenate([candidates[:, fixed], relative], axis=1)
    if prevented.shape[1] == 0:
        return candidates
    directions, singular_values, _ = svd(prevented, full_matrices=True)
    singular_values = np.concatenate([singular_values, np.zeros(len(candidates) - len(singular_values))])
    modes = directions[:, singular_values < 1e-9 * max(1.0, singular_values[0])].T @ candidates
    return modes / np.max(np.abs(modes), axis=1, keepdims=True) if len(modes) else modes


def pinned_unknowns(modes: np.ndarray) -> np.ndarray:
    """One unknown per mode, chosen (by pivoted QR) so that fixing them suppresses every mode."""
    return np.sort(qr(modes, mode="r", pivoting=True)[1][: len(modes)]) if len(modes) else np.empty(0, int)


def check_balance(modes: np.ndarray, force: np.ndarray, mesh: Mesh, n: int, *, in_all: np.ndarray) -> None:
    """Raise SolveError if nodal forces (cases, families, nodes, 3), N per radian, do work on a free mode.

    in_all: sum of force magnitudes of every case over its harmonics, (cases,). The message gives the
    resultant force in x, y, z and the moment about the origin.
    """
    flat = force.reshape(*force.shape[:2], -1)
    size = np.sum(np.abs(flat), axis=(1, 2))
    allowed = np.maximum(BALANCE_TOLERANCE * size, ROUNDING * in_all)
    work = np.max(np.abs(flat @ modes.T), axis=(1, 2), initial=0.0)
    if not np.any(work > allowed):
        return
    case = int(np.argmax(work / np.maximum(allowed, 1e-300)))
    integral = 2.0 * np.pi if n == 0 else np.pi
    translation, rotation = integral * np.einsum("mnc,fnc->mf", rigid_modes(mesh.nodes, n), force[case])
    if n == 0:
        text = f"force {translation[0]:.4g} N along z, moment {-rotation[1]:.4g} N·mm about z"
    else:
        text = (
            f"force ({translation[0]:.4g}, {translation[1]:.4g}) N along (x, y), "
            f"moment ({-rotation[1]:.4g}, {rotation[0]:.4g}) N·mm about (x, y) at z = 0"
        )
    raise SolveError(f"load case {case + 1} is out of balance on an unsupported body: resultant {text}")
