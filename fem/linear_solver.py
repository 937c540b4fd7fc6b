"""Sparse symmetric linear systems: factorise once, solve many times, check every residual."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csc_matrix, spmatrix
from scipy.sparse.linalg import splu

from hoopwright.fem.banded import MAX_BANDWIDTH, BandPattern
from hoopwright.fem.errors import SolveError

# Rounding leaves up to 1e-6 in very thin free rings; an unrestrained body leaves 1e-2 and more.
RELATIVE_RESIDUAL = 1e-5
# Relative residual that is not worth a step of refinement.
SETTLED = 1e-10
# Relative remainder below which an argument counts as a linear combination of earlier ones.
DEPENDENT = 1e-13


@dataclass(frozen=True)
class Factor:
    """A factorised symmetric matrix. back_substitute: applies its inverse once, unchecked."""

    matrix: csc_matrix
    back_substitute: Callable[[np.ndarray], np.ndarray]

    def solve(self, rhs: np.ndarray) -> np.ndarray:
        """Solution x of matrix · x = rhs; rhs and x: (N,) or (N, loads).

        One step of iterative refinement recovers the accuracy that factorising without pivoting may lose.
        Raises SolveError if the relative residual exceeds RELATIVE_RESIDUAL.
        """
        size = max(_norm(rhs), 1e-300)
        x = self.back_substitute(rhs)
        rest = rhs - self.matrix @ x
        if not _norm(rest) <= SETTLED * size:
            x += self.back_substitute(rest)
            rest = rhs - self.matrix @ x
        residual = _norm(rest) / size
        if not residual <= RELATIVE_RESIDUAL:  # written this way round so that NaN raises
            raise SolveError(
                f"relative residual {residual:.1e} > {RELATIVE_RESIDUAL:.0e}: is a body free to move?"
            )
        return x


def factorise(matrix: spmatrix, *, ordered: bool = False, band: BandPattern | None = None) -> Factor:
    """Factorise a symmetric positive definite sparse matrix. Raises SolveError if it is singular.

    ordered: the unknowns run from end to end (fem.numbering), so that the matrix may be a narrow band.
    band: its band pattern, if known from a matrix with the same pattern.

    A wide matrix is factorised in the solver's own minimum-degree order. Nested dissection of the mesh
    would save a tenth to a fifth of the time from 100,000 unknowns on and none below: time grows with the
    power 1.27 with it and 1.31 without (tests/benchmarks/growth.py, medians of runs in turn).
    """
    if matrix.format == "csr":  # symmetric, so CSR arrays are also its CSC arrays
        matrix = csc_matrix((matrix.data, matrix.indices, matrix.indptr), shape=matrix.shape)
    matrix = csc_matrix(matrix)
    if ordered:
        band = band or BandPattern.from_matrix(matrix)
        if band.width <= MAX_BANDWIDTH:
            return Factor(matrix, band.factor(matrix.data))
    try:
        lu = splu(
            matrix,
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=0.0,
            options={"SymmetricMode": True},
        )
    except RuntimeError as error:
        raise SolveError(f"singular stiffness ({error}): is a body free to move?") from None
    return Factor(matrix, lu.solve)


class Superposition:
    """Cache of an expensive linear function, evaluated only for the new component of its argument.

    The component of an argument in the span of earlier ones is superposed from their results; the
    orthogonal remainder is normalised and evaluated by itself, so that errors do not grow with the number
    of arguments. max_directions: number of directions cached; the oldest is dropped first.
    """

    def __init__(self, function: Callable[[np.ndarray], np.ndarray], *, max_directions: int = 12) -> None:
        self.function, self.max_directions = function, max_directions
        self._basis: list[tuple[np.ndarray, np.ndarray]] = []

    def __call__(self, argument: np.ndarray) -> np.ndarray:
        """function(argument); both are one-dimensional."""
        remainder, result = argument, None
        for direction, image in self._basis:
            # np.vdot would start the BLAS threads
            component = float(np.einsum("i,i->", direction, remainder))
            remainder = remainder - component * direction
            result = component * image if result is None else result + component * image
        norm = _norm(remainder)
        if result is not None and norm <= DEPENDENT * _norm(argument):
            return result
        new = remainder / max(norm, 1e-300)
        image = self.function(new)
        self._basis = [*self._basis, (new, image)][-self.max_directions :]
        return norm * image if result is None else result + norm * image


def _norm(x: np.ndarray) -> float:
    """√ΣΣx², without np.linalg.norm, whose BLAS threads cost more than they save here."""
    return float(np.sqrt(np.sum(np.square(x))))
