"""Nested dissection takes every node once and leaves less fill-in than a band does."""

import numpy as np
import pytest
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from fem.dissection import dissected


def square(side: int) -> tuple[np.ndarray, np.ndarray, int]:
    """Nine-node cells of a square mesh: their nodes, their centres, and how many nodes there are."""
    across = 2 * side + 1
    corner = 2 * (across * np.arange(side)[:, None] + np.arange(side)).ravel()
    local = (across * np.arange(3)[:, None] + np.arange(3)).ravel()
    cells = corner[:, None] + local
    centres = np.stack([cells[:, 4] // across, cells[:, 4] % across]).astype(float)
    return cells, centres, across**2


def fill(cells: np.ndarray, places: np.ndarray) -> int:
    """Entries of the factor of a matrix that joins the nodes of each cell, eliminated in that order."""
    cells = places[cells]
    rows = np.repeat(cells, 9, axis=1).ravel()
    columns = np.tile(cells, (1, 9)).ravel()
    graph = csc_matrix((np.ones(len(rows)), (rows, columns)), shape=(places.size, places.size))
    graph.setdiag(1e3)
    return splu(graph.tocsc(), permc_spec="NATURAL", diag_pivot_thresh=0.0,
                options={"SymmetricMode": True}).L.nnz


def test_every_node_has_one_place():
    cells, centres, count = square(13)
    assert np.array_equal(np.sort(dissected(cells, centres, count)), np.arange(count))


def test_nodes_of_no_cell_take_no_place():
    cells, centres, count = square(5)
    places = dissected(cells + 7, centres, count + 7)
    assert np.array_equal(np.sort(places[7:]), np.arange(count))
    assert not places[:7].any()


@pytest.mark.parametrize(("side", "share"), [(24, 0.4), (48, 0.25)])
def test_less_fills_in_than_from_end_to_end(side, share):
    cells, centres, count = square(side)
    assert fill(cells, dissected(cells, centres, count)) < share * fill(cells, np.arange(count))
