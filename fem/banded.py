"""Symmetric positive definite systems in a narrow band: Cholesky's factor by LAPACK (pbtrf, pbtrs)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.linalg import LinAlgError, cho_solve_banded, cholesky_banded
from scipy.sparse import csc_matrix

from fem.errors import SolveError

WIDEST = 250
"""Entries below the diagonal up to which a band is factorised faster than a sparse matrix in an order with
little fill-in: measured on crank shells of 3,000 to 300,000 unknowns (tests/benchmarks/growth.py)."""


@dataclass(frozen=True)
class Band:
    """Where the entries of a symmetric pattern stand in a band.

    size: unknowns; width: entries below the diagonal; below: which entries of the sparse matrix are kept,
    those on the diagonal and below it; places: theirs in (size, width + 1), row by row, which is LAPACK's
    lower band read by columns.
    """

    size: int
    width: int
    below: np.ndarray
    places: np.ndarray

    @classmethod
    def of(cls, matrix: csc_matrix) -> Band:
        column = np.repeat(np.arange(matrix.shape[1]), np.diff(matrix.indptr))
        offset = matrix.indices - column
        below = np.flatnonzero(offset >= 0)
        offset, column = offset[below], column[below]
        width = int(offset.max(initial=0))
        return cls(matrix.shape[1], width, below, column * (width + 1) + offset)

    def factor(self, data: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
        """Answers right-hand sides (size,) or (size, loads). data: of the sparse matrix. Raises SolveError
        for one that is not positive definite."""
        band = np.zeros((self.size, self.width + 1))
        band.ravel()[self.places] = data[self.below]
        try:
            lower = cholesky_banded(band.T, lower=True, overwrite_ab=True, check_finite=False)
        except LinAlgError as error:
            raise SolveError(f"singular stiffness ({error}): is a body free to move?") from None
        return lambda rhs: cho_solve_banded((lower, True), rhs, check_finite=False)
