"""Nested dissection: a fill-reducing elimination order for meshes that are wide as well as long.

The elements are bisected across r or z, whichever gives the smaller separator; each half is bisected
again, and the separator, the nodes that two halves share, is eliminated after both. Source: George,
SIAM J. Numer. Anal. 10 (1973) (method from memory, paper not seen).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

MIN_ELEMENTS = 4
"""Groups of this many elements or fewer are not bisected further."""


def nested_dissection(cells: np.ndarray, centres: np.ndarray, count: int) -> np.ndarray:
    """Position of every node in the elimination order, (count,); zero for nodes of no element.

    cells: node numbers of each element, (elements, 9). centres: element centres, (2, elements), mm.
    """
    shared = np.zeros(count, dtype=bool)

    def order(which: np.ndarray) -> Iterator[np.ndarray]:
        halves = _halves(cells, centres, which) if len(which) > MIN_ELEMENTS else None
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

    positions = np.zeros(count, dtype=int)
    found = np.concatenate(list(order(np.arange(len(cells)))))
    positions[found] = np.arange(len(found))
    return positions


def _halves(
    cells: np.ndarray, centres: np.ndarray, which: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray] | None:
    """Two halves of a group of elements and their separator nodes; None where no line divides it."""
    found = []
    for along in centres[:, which]:
        low = along < np.median(along)
        if low.any():
            one, other = which[low], which[~low]
            common = np.intersect1d(np.unique(cells[one]), np.unique(cells[other]), assume_unique=True)
            found.append((one, other, common))
    return min(found, key=lambda halves: len(halves[2]), default=None)
