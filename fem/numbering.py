"""Which unknowns move alike, which are zero, and in what order the rest is best eliminated."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

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


def elimination_places(mesh: Mesh, pairs: Interface, together: np.ndarray) -> np.ndarray:
    """Place of every node in an elimination with little fill-in, (nodes,).

    together: (pairs,) bool, pairs taken as one node. The order is found on the graph of nodes, a ninth
    of the entries of a system with three unknowns per node, and serves every harmonic.
    """
    node = np.arange(mesh.nodes.shape[1])
    node[pairs.shell[together]] = pairs.sleeve[together]
    cells = node[mesh.connectivity.T]
    rows = np.repeat(cells, cells.shape[1], axis=1).ravel()
    columns = np.tile(cells, (1, cells.shape[1])).ravel()
    itself = np.arange(len(node))
    value = np.concatenate([np.ones(len(rows)), np.full(len(node), float(len(rows)))])
    index = np.concatenate([rows, itself]), np.concatenate([columns, itself])
    graph = csc_matrix((value, index), shape=(len(node), len(node)))
    return splu(graph, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                options={"SymmetricMode": True}).perm_c[node]
