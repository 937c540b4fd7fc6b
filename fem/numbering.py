"""Tied and fixed unknowns, and equation numbers of the others from end to end."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from hoopwright.fem.interface import Interface
from hoopwright.fem.mesh import Mesh
from hoopwright.fem.strain import COMPONENTS, Z


def masters(size: int, pairs: Interface, tied: Mapping[int, np.ndarray]) -> np.ndarray:
    """Master of every unknown, (size,): itself, or the sleeve's unknown where a pair is tied.

    tied: for each displacement component, which pairs are tied in it, (pairs,) bool.
    """
    master = np.arange(size)
    for c, which in tied.items():
        master[COMPONENTS * pairs.shell[which] + c] = COMPONENTS * pairs.sleeve[which] + c
    return master


def end_face_unknowns(mesh: Mesh) -> np.ndarray:
    """Unknowns u_z of all end faces, ascending; fixed at zero they enforce plane strain."""
    ends = [
        mesh.face(name).nodes.ravel() for name in mesh.quads.boundaries if name.endswith(("left", "right"))
    ]
    return COMPONENTS * np.unique(np.concatenate(ends)) + Z


def axial_pins(pairs: Interface, *, tied_axially: bool) -> np.ndarray:
    """Unknowns u_z that remove axial rigid-body motion, at the middle pair; their reaction is zero.

    tied_axially: the bodies are tied to each other along z, so that one pin serves both.
    """
    middle = len(pairs.z) // 2
    pins = [pairs.shell[middle]] if tied_axially else [pairs.shell[middle], pairs.sleeve[middle]]
    return COMPONENTS * np.array(pins) + Z


def number_unknowns(master: np.ndarray, fixed: np.ndarray, positions: np.ndarray) -> tuple[np.ndarray, int]:
    """Equation number of every unknown, (size,), and the number of equations.

    An equation number equal to the number of equations marks an unknown fixed at zero. fixed: (size,)
    bool, unknowns fixed at zero, and with them every unknown that shares their master. positions: of
    every node in the elimination order, (nodes,).
    """
    free = np.zeros(len(master), dtype=bool)
    free[master] = True
    free[master[fixed]] = False
    in_order = (COMPONENTS * np.argsort(positions, kind="stable")[:, None] + np.arange(COMPONENTS)).ravel()
    ordered = in_order[free[in_order]]
    number = np.full(len(master), len(ordered))
    number[ordered] = np.arange(len(ordered))
    return number[master], len(ordered)


def elimination_order(mesh: Mesh, pairs: Interface, merged: np.ndarray) -> np.ndarray:
    """Position of every node in order of z, then r, (nodes,): a narrow band where the walls are thin.

    merged: (pairs,) bool, pairs taken as one node.
    """
    node = np.arange(mesh.nodes.shape[1])
    node[pairs.shell[merged]] = pairs.sleeve[merged]
    which = np.unique(node)
    positions = np.zeros(len(node), dtype=int)
    positions[which[np.lexsort(mesh.nodes[:, which])]] = np.arange(len(which))
    return positions[node]
