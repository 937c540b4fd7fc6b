"""Nested dissection orders every node once and causes less fill-in than a band."""

import numpy as np
import pytest
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from hoopwright.fem.dissection import nested_dissection


def square(side: int) -> tuple[np.ndarray, np.ndarray, int]:
    """Nine-node cells of a square mesh: their nodes, their centres, and the number of nodes."""
    across = 2 * side + 1
    corner = 2 * (across * np.arange(side)[:, None] + np.arange(side)).ravel()
    local = (across * np.arange(3)[:, None] + np.arange(3)).ravel()
    cells = corner[:, None] + local
    centres = np.stack([cells[:, 4] // across, cells[:, 4] % across]).astype(float)
    return cells, centres, across**2


def fill(cells: np.ndarray, places: np.ndarray) -> int:
    """Entries in the factor of a matrix that couples the nodes of each cell, eliminated in that order."""
    cells = places[cells]
    rows = np.repeat(cells, 9, axis=1).ravel()
    columns = np.tile(cells, (1, 9)).ravel()
    graph = csc_matrix((np.ones(len(rows)), (rows, columns)), shape=(places.size, places.size))
    graph.setdiag(1e3)
    return splu(
        graph.tocsc(), permc_spec="NATURAL", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
    ).L.nnz


def test_every_node_is_ordered_once():
    cells, centres, count = square(13)
    assert np.array_equal(np.sort(nested_dissection(cells, centres, count)), np.arange(count))


def test_nodes_outside_every_cell_are_not_ordered():
    cells, centres, count = square(5)
    places = nested_dissection(cells + 7, centres, count + 7)
    assert np.array_equal(np.sort(places[7:]), np.arange(count))
    assert not places[:7].any()


@pytest.mark.parametrize(("side", "share"), [(24, 0.4), (48, 0.25)])
def test_fill_in_is_less_than_in_end_to_end_order(side, share):
    cells, centres, count = square(side)
    assert fill(cells, nested_dissection(cells, centres, count)) < share * fill(cells, np.arange(count))
