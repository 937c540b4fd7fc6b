"""Tied and fixed unknowns, and equation numbers of the others in a fill-reducing elimination order."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from hoopwright.fem.banded import MAX_BANDWIDTH
from hoopwright.fem.dissection import nested_dissection
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
    ends = [face.nodes.ravel() for name, face in mesh.faces.items() if name.endswith(("left", "right"))]
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


def elimination_order(
    mesh: Mesh, pairs: Interface, merged: np.ndarray, *, unknowns_per_node: int = COMPONENTS
) -> np.ndarray:
    """Position of every node in a fill-reducing elimination order, (nodes,).

    Thin parts are ordered from end to end, which gives a narrow band; others by nested dissection.
    merged: (pairs,) bool, pairs taken as one node. unknowns_per_node: used to predict the bandwidth.
    """
    node = np.arange(mesh.nodes.shape[1])
    node[pairs.shell[merged]] = pairs.sleeve[merged]
    cells = node[mesh.connectivity.T]
    positions = _lengthwise(mesh.nodes, np.unique(node))
    width = int(np.max(np.ptp(positions[cells], axis=1)))
    width += 3  # an element spans three more nodes where its pairs are open or slide
    if unknowns_per_node * width > MAX_BANDWIDTH:
        positions = nested_dissection(cells, mesh.nodes[:, mesh.connectivity].mean(axis=1), len(node))
    return positions[node]


def _lengthwise(nodes: np.ndarray, which: np.ndarray) -> np.ndarray:
    """Positions of some nodes in order of z, then r, (nodes,). nodes: r and z, mm, (2, nodes)."""
    positions = np.zeros(nodes.shape[1], dtype=int)
    positions[which[np.lexsort(nodes[:, which])]] = np.arange(len(which))
    return positions
