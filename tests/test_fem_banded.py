"""Banded systems against the dense solution and against the sparse factorisation."""

import numpy as np
import pytest
from fem_models import bearing_pushes, clamped_crank_shell
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import SuperLU

from hoopwright.fem import Resolution, linear_solver
from hoopwright.fem.banded import BandPattern
from hoopwright.fem.errors import SolveError
from hoopwright.fem.linear_solver import factorise


def positive_definite(size: int, width: int) -> np.ndarray:
    lower = np.tril(np.random.default_rng(5).normal(size=(size, size))) + 3.0 * np.eye(size)
    near = np.abs(np.subtract.outer(np.arange(size), np.arange(size))) <= width
    return (lower * near) @ (lower * near).T


@pytest.mark.parametrize("loads", [(), (3,)])
def test_the_banded_solution_equals_the_dense_solution(loads):
    dense = positive_definite(40, 5)
    matrix = csc_matrix(dense)
    band = BandPattern.from_matrix(matrix)
    assert (band.size, band.width) == (40, 5)
    wanted = np.random.default_rng(6).normal(size=(40, *loads))
    rhs = dense @ wanted
    assert band.factor(matrix.data)(rhs) == pytest.approx(wanted, rel=1e-9)
    assert band.factor(4.0 * matrix.data)(rhs) == pytest.approx(0.25 * wanted, rel=1e-9)
    assert factorise(matrix, ordered=True).solve(rhs) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("first", [[0, 3, 4, 17, 22], [21, 22], []])
def test_the_compliance_of_one_of_two_bodies_equals_the_dense_inverse(first):
    dense = positive_definite(40, 5)
    dense[:23, 23:] = dense[23:, :23] = 0.0  # two bodies, of 23 and 17 unknowns
    matrix = csc_matrix(dense)
    factor = BandPattern.from_matrix(matrix).factor(matrix.data)
    inverse = np.linalg.inv(dense)
    for rows, unknowns in ((range(23), first), (range(23, 40), [23 + k for k in first if k < 17])):
        found = factor.gram(np.array(unknowns, dtype=int), rows)
        assert found == pytest.approx(inverse[np.ix_(unknowns, unknowns)], rel=1e-9)
        assert np.array_equal(found, found.T)


def test_a_matrix_that_is_not_positive_definite_is_rejected():
    dense = positive_definite(12, 3)
    dense[4, 4] = -1.0
    matrix = csc_matrix(dense)
    with pytest.raises(SolveError, match="singular stiffness"):
        BandPattern.from_matrix(matrix).factor(matrix.data)


def test_banded_and_sparse_factorisation_give_the_same_solution(monkeypatch):
    coarse = Resolution(
        elements_through_wall=2,
        at_joint=0.5,
        row_growth=0.0,
        at_step=2.0,
        at_free_end=2.0,
        largest=1.0,
        growth=1.0,
    )

    def solve():
        solver = clamped_crank_shell(coarse)
        return solver, solver.solve([bearing_pushes(4)])

    solver, banded = solve()
    assert solver.system._band.width < 100
    monkeypatch.setattr(linear_solver, "MAX_BANDWIDTH", 0)
    solver, sparse = solve()
    assert isinstance(solver.system._factor(0).back_substitute.__self__, SuperLU)
    assert sparse.stress == pytest.approx(banded.stress, rel=1e-6, abs=1e-7 * np.max(np.abs(banded.stress)))
