"""Sparse symmetric systems: factorise once, solve often, check every answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csc_matrix, spmatrix
from scipy.sparse.linalg import splu

from fem.banded import WIDEST, Band
from fem.errors import SolveError

# Rounding leaves up to 1e-6 in very thin free rings; a body that is free to move leaves 1e-2 and more.
RELATIVE_RESIDUAL = 1e-5
# Share of an argument that rounding leaves when it is a sum of earlier ones.
NOTHING_NEW = 1e-13


@dataclass(frozen=True)
class Factor:
    """A factorised symmetric matrix; solve() raises SolveError if the answer does not fit."""

    matrix: csc_matrix
    once: Callable[[np.ndarray], np.ndarray]

    def solve(self, rhs: np.ndarray) -> np.ndarray:
        """Solution of matrix · x = rhs; rhs: (N,) or (N, loads).

        One step of iterative refinement takes out what a symmetric ordering without pivoting
        may have lost.
        """
        x = self.once(rhs)
        x += self.once(rhs - self.matrix @ x)
        residual = _length(rhs - self.matrix @ x) / max(_length(rhs), 1e-300)
        if not residual <= RELATIVE_RESIDUAL:  # written this way round so that NaN raises
            raise SolveError(
                f"relative residual {residual:.1e} > {RELATIVE_RESIDUAL:.0e}: is a body free to move?"
            )
        return x


def factorise(matrix: spmatrix, *, ordered: bool = False, band: Band | None = None) -> Factor:
    """Factorise a symmetric positive definite sparse matrix. Raises SolveError if it is singular.

    ordered: its unknowns stand in a good order of elimination (fem.numbering); finding one takes up to a
    third of the time. band: of its pattern, where the same one comes again and again.
    """
    if matrix.format == "csr":  # symmetric, so its rows are its columns
        matrix = csc_matrix((matrix.data, matrix.indices, matrix.indptr), shape=matrix.shape)
    matrix = csc_matrix(matrix)
    if ordered:
        band = band or Band.of(matrix)
        if band.width <= WIDEST:
            return Factor(matrix, band.factor(matrix.data))
    try:
        lu = splu(matrix, permc_spec="NATURAL" if ordered else "MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                  options={"SymmetricMode": True})
    except RuntimeError as error:
        raise SolveError(f"singular stiffness ({error}): is a body free to move?") from None
    return Factor(matrix, lu.solve)


class Superposition:
    """A linear function that is dear to evaluate: evaluated only for what is new in its argument.

    Of an argument, the part that earlier ones span is answered from their answers; what is left is
    evaluated by itself, so that errors do not grow with the number of arguments. keep: directions
    remembered; the oldest go first.
    """

    def __init__(self, function: Callable[[np.ndarray], np.ndarray], *, keep: int = 12) -> None:
        self.function, self.keep = function, keep
        self._known: list[tuple[np.ndarray, np.ndarray]] = []

    def __call__(self, argument: np.ndarray) -> np.ndarray:
        """function(argument), both one-dimensional."""
        rest, answer = argument, None
        for direction, its_answer in self._known:
            # vdot of contiguous vectors would start the threads of the matrix library
            share = float(np.einsum("i,i->", direction, rest))
            rest = rest - share * direction
            answer = share * its_answer if answer is None else answer + share * its_answer
        left = _length(rest)
        if answer is not None and left <= NOTHING_NEW * _length(argument):
            return answer
        new = rest / max(left, 1e-300)
        its_answer = self.function(new)
        self._known = [*self._known, (new, its_answer)][-self.keep:]
        return left * its_answer if answer is None else answer + left * its_answer


def _length(x: np.ndarray) -> float:
    """√ΣΣx², kept from the threads of the matrix library, which cost more than they give here."""
    return float(np.sqrt(np.sum(np.square(x))))
