"""Banded Cholesky factorisation of symmetric positive definite matrices (LAPACK pbtrf, pbtrs; BLAS
trsm)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import LinAlgError, cho_solve_banded, cholesky_banded
from scipy.linalg.blas import dtrsm
from scipy.sparse import csc_matrix

from hoopwright.fem.errors import SolveError

MAX_BANDWIDTH = 250
"""Largest lower bandwidth for which the banded factorisation beats a sparse one in a fill-reducing order;
measured on crank shells of 3,000 to 300,000 unknowns (tests/benchmarks/growth.py)."""


@dataclass(frozen=True)
class BandFactor:
    """L of a banded matrix A = L Lᵀ, in LAPACK's lower band storage, (width + 1, size)."""

    lower: np.ndarray

    def __call__(self, rhs: np.ndarray) -> np.ndarray:
        """A⁻¹ rhs, (size,) or (size, loads)."""
        return cho_solve_banded((self.lower, True), rhs, check_finite=False)

    def gram(self, first: np.ndarray, rows: range) -> np.ndarray:
        """YᵀY, (loads, loads), of Y = L⁻¹ [e_first ...]: unit vectors of some unknowns, which rise, on rows
        that nothing couples to the others.

        With rows in blocks as wide as the band, each depends on the one before alone, and a column begins
        in the block of its own unknown.
        """
        width, found = len(self.lower) - 1, np.zeros((len(first), len(first)))
        Y = np.zeros((width, 0))
        for start in range(rows.start, rows.stop, width):
            stop = min(start + width, rows.stop)
            begun = int(np.searchsorted(first, stop))
            rhs = np.zeros((stop - start, begun), order="F")
            if Y.shape[1]:
                rhs[:, : Y.shape[1]] = -(np.triu(self._block(start, stop, start - width, start)) @ Y)
            new = np.arange(Y.shape[1], begun)
            rhs[first[new] - start, new] = 1.0
            Y = dtrsm(1.0, self._block(start, stop, start, stop), rhs, lower=1, overwrite_b=1)
            found[:begun, :begun] += Y.T @ Y
        return found

    def _block(self, start: int, stop: int, left: int, right: int) -> np.ndarray:
        """L of some rows and columns; what lies outside of the band is not to be read.

        Entry (i, j) is stored at (i − j, j), column by column: at i + j · width from the first.
        """
        width, item = len(self.lower) - 1, self.lower.itemsize
        first = self.lower[start - left :, left:]
        return np.lib.stride_tricks.as_strided(
            first, (stop - start, right - left), (item, width * item), writeable=False
        )


@dataclass(frozen=True)
class BandPattern:
    """Map from the entries of a symmetric sparsity pattern to LAPACK's lower band storage.

    size: number of unknowns; width: lower bandwidth (entries below the diagonal); on_or_below: indices of
    the sparse entries on and below the diagonal; positions: where each of them goes in an array
    (size, width + 1) taken row by row, which is LAPACK's lower band taken column by column.
    """

    size: int
    width: int
    on_or_below: np.ndarray
    positions: np.ndarray

    @classmethod
    def from_matrix(cls, matrix: csc_matrix) -> BandPattern:
        """The band pattern of a sparse symmetric matrix."""
        column = np.repeat(np.arange(matrix.shape[1]), np.diff(matrix.indptr))
        offset = matrix.indices - column
        on_or_below = np.flatnonzero(offset >= 0)
        offset, column = offset[on_or_below], column[on_or_below]
        width = int(offset.max(initial=0))
        return cls(matrix.shape[1], width, on_or_below, column * (width + 1) + offset)

    def factor(self, data: np.ndarray) -> BandFactor:
        """Factorise the matrix with these entries.

        data: the `data` array of a sparse matrix with this pattern. Raises SolveError if it is not
        positive definite.
        """
        band = np.zeros((self.size, self.width + 1))
        band.ravel()[self.positions] = data[self.on_or_below]
        try:
            lower = cholesky_banded(band.T, lower=True, overwrite_ab=True, check_finite=False)
        except LinAlgError as error:
            raise SolveError(f"singular stiffness ({error}): is a body free to move?") from None
        return BandFactor(lower)
