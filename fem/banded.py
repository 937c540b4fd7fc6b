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
        above, Y = np.triu(np.ones((width, width))), np.zeros((width, 0))
        ends = [*range(rows.start, rows.stop, width), rows.stop]
        begun = np.searchsorted(first, ends)
        for start, stop, before, now in zip(ends[:-1], ends[1:], begun[:-1], begun[1:], strict=True):
            rest = np.zeros((stop - start, now), order="F")
            if before:
                rest[:, :before] = (self._block(start, stop, start - width) * above[: stop - start]) @ Y
            if now > before:
                rest[first[before:now] - start, np.arange(before, now)] = -1.0
            Y = dtrsm(-1.0, self._block(start, stop, start), rest, lower=1, overwrite_b=1)
            found[:now, :now] += Y.T @ Y
        return found

    def _block(self, start: int, stop: int, left: int) -> np.ndarray:
        """L of the rows from start to stop, on as many columns as fit below the diagonal or in the band;
        what lies outside of the band is not to be read.

        Entry (i, j) is stored at (i − j, j), column by column: at i + j · width from the first.
        """
        width, item = len(self.lower) - 1, self.lower.itemsize
        columns = stop - start if left == start else start - left
        offset, strides = item * (start + left * width), (item, item * width)
        return np.ndarray((stop - start, columns), buffer=self.lower.T, offset=offset, strides=strides)


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
