"""Sparse symmetric systems: factorise once, solve often, check every answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.sparse import csc_matrix, spmatrix
from scipy.sparse.linalg import splu

from fem.errors import SolveError

# Rounding leaves up to 1e-6 in very thin free rings; a body that is free to move leaves 1e-2 and more.
RELATIVE_RESIDUAL = 1e-5


@dataclass(frozen=True)
class Factor:
    """A factorised symmetric matrix; solve() raises SolveError if the answer does not fit."""

    matrix: csc_matrix
    lu: Any

    def solve(self, rhs: np.ndarray) -> np.ndarray:
        """Solution of matrix · x = rhs; rhs: (N,) or (N, loads).

        One step of iterative refinement takes out what a symmetric ordering without pivoting
        may have lost.
        """
        x = self.lu.solve(rhs)
        x += self.lu.solve(rhs - self.matrix @ x)
        residual = _length(rhs - self.matrix @ x) / max(_length(rhs), 1e-300)
        if not residual <= RELATIVE_RESIDUAL:  # written this way round so that NaN raises
            raise SolveError(
                f"relative residual {residual:.1e} > {RELATIVE_RESIDUAL:.0e}: is a body free to move?"
            )
        return x


def factorise(matrix: spmatrix, *, ordered: bool = False) -> Factor:
    """Factorise a symmetric positive definite sparse matrix. Raises SolveError if it is singular.

    ordered: its unknowns stand in a good order of elimination (fem.ordering); finding one takes up to a
    third of the time.
    """
    if matrix.format == "csr":  # symmetric, so its rows are its columns
        matrix = csc_matrix((matrix.data, matrix.indices, matrix.indptr), shape=matrix.shape)
    matrix = csc_matrix(matrix)
    try:
        lu = splu(matrix, permc_spec="NATURAL" if ordered else "MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                  options={"SymmetricMode": True})
    except RuntimeError as error:
        raise SolveError(f"singular stiffness ({error}): is a body free to move?") from None
    return Factor(matrix, lu)


def _length(x: np.ndarray) -> float:
    """√ΣΣx², kept from the threads of the matrix library, which cost more than they give here."""
    return float(np.sqrt(np.sum(np.square(x))))
