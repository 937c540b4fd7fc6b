"""Nested dissection: an order of elimination with little fill-in for meshes that are wide as well as long.

The elements are halved across r or z, whichever parts fewer nodes; each half is halved again, and the
nodes that two halves share are eliminated after both. Source: George, SIAM J. Numer. Anal. 10 (1973)
(method from memory, paper not seen).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

SMALLEST = 4
"""Elements that are halved no further."""


def dissected(cells: np.ndarray, centres: np.ndarray, count: int) -> np.ndarray:
    """Place of every node in the order of elimination, (count,), zero for those of no element.

    cells: nodes of the elements, (elements, 9). centres: of the elements, (2, elements), mm.
    """
    shared = np.zeros(count, dtype=bool)

    def order(which: np.ndarray) -> Iterator[np.ndarray]:
        halves = _halves(cells, centres, which) if len(which) > SMALLEST else None
        if halves is None:
            nodes = np.unique(cells[which])
            yield nodes[~shared[nodes]]
            return
        one, other, common = halves
        last = common[~shared[common]]
        shared[last] = True
        yield from order(one)
        yield from order(other)
        yield last

    places = np.zeros(count, dtype=int)
    found = np.concatenate(list(order(np.arange(len(cells)))))
    places[found] = np.arange(len(found))
    return places


def _halves(
    cells: np.ndarray, centres: np.ndarray, which: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray] | None:
    """Two halves of some elements and the nodes they share; None where no line parts them."""
    found = []
    for along in centres[:, which]:
        low = along < np.median(along)
        if low.any():
            one, other = which[low], which[~low]
            common = np.intersect1d(np.unique(cells[one]), np.unique(cells[other]), assume_unique=True)
            found.append((one, other, common))
    return min(found, key=lambda halves: len(halves[2]), default=None)
