"""Which unknowns move alike, which are zero, and in what order the rest is best eliminated."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from fem.banded import WIDEST
from fem.dissection import dissected
from fem.interface import Interface
from fem.mesh import Mesh
from fem.strain import COMPONENTS


def masters(size: int, pairs: Interface, tied: Mapping[int, np.ndarray]) -> np.ndarray:
    """Of every unknown the one it moves with, (size,): itself, or the sleeve's where a pair is tied.

    tied: for each displacement component the pairs tied in it, bool (pairs,).
    """
    master = np.arange(size)
    for c, which in tied.items():
        master[COMPONENTS * pairs.shell[which] + c] = COMPONENTS * pairs.sleeve[which] + c
    return master


def numbered(master: np.ndarray, zero: np.ndarray, places: np.ndarray) -> tuple[np.ndarray, int]:
    """Reduced number of every unknown, (size,), and how many there are; that many again means zero.

    zero: (size,) bool, unknowns held at zero, and with them all that move alike. places: of every node
    in the elimination, (nodes,).
    """
    kept = np.zeros(len(master), dtype=bool)
    kept[master] = True
    kept[master[zero]] = False
    in_order = (COMPONENTS * np.argsort(places, kind="stable")[:, None] + np.arange(COMPONENTS)).ravel()
    ordered = in_order[kept[in_order]]
    number = np.full(len(master), len(ordered))
    number[ordered] = np.arange(len(ordered))
    return number[master], len(ordered)


def elimination_places(
    mesh: Mesh, pairs: Interface, together: np.ndarray, *, each: int = COMPONENTS
) -> np.ndarray:
    """Place of every node in a good order of elimination, (nodes,). Thin parts are best gone through from
    end to end, in a narrow band; others by nested dissection.

    together: (pairs,) bool, pairs taken as one node. each: unknowns of a node.
    """
    node = np.arange(mesh.nodes.shape[1])
    node[pairs.shell[together]] = pairs.sleeve[together]
    cells = node[mesh.connectivity.T]
    places = _from_end_to_end(mesh.nodes, np.unique(node))
    width = int(np.max(np.ptp(places[cells], axis=1)))
    if each * (width + 3) > WIDEST:  # three more where pairs in an element come apart or slide
        places = dissected(cells, mesh.nodes[:, mesh.connectivity].mean(axis=1), len(node))
    return places[node]


def _from_end_to_end(nodes: np.ndarray, which: np.ndarray) -> np.ndarray:
    """Places of some nodes by z, then by r, (nodes,). nodes: r and z, mm, (2, nodes)."""
    places = np.zeros(nodes.shape[1], dtype=int)
    places[which[np.lexsort(nodes[:, which])]] = np.arange(len(which))
    return places
