"""Banded Cholesky factorisation of symmetric positive definite matrices (LAPACK pbtrf, pbtrs; BLAS
tbsv)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg import LinAlgError, cho_solve_banded, cholesky_banded
from scipy.linalg.blas import dtbsv
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

    def forward(self, unknown: int) -> np.ndarray:
        """L⁻¹ e of the unit vector of an unknown, (size − unknown,): the part from there on, above it is
        zero."""
        unit = np.zeros(self.lower.shape[1] - unknown)
        unit[0] = 1.0
        return dtbsv(len(self.lower) - 1, self.lower[:, unknown:], unit, lower=1)


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
