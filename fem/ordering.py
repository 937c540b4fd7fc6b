"""The order in which nodes are best eliminated from any system of equations on one mesh."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu


def elimination_places(cells: np.ndarray, nodes: int) -> np.ndarray:
    """Place of every node in an elimination with little fill-in, (nodes,).

    cells: (cells, corners) node numbers; the nodes of a cell are coupled. The order is found on the graph
    of nodes, a ninth of the entries of a system with three unknowns per node, and serves every harmonic.
    """
    rows = np.repeat(cells, cells.shape[1], axis=1).ravel()
    columns = np.tile(cells, (1, cells.shape[1])).ravel()
    itself = np.arange(nodes)
    value = np.concatenate([np.ones(len(rows)), np.full(nodes, float(len(rows)))])
    index = np.concatenate([rows, itself]), np.concatenate([columns, itself])
    graph = csc_matrix((value, index), shape=(nodes, nodes))
    return splu(graph, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                options={"SymmetricMode": True}).perm_c
