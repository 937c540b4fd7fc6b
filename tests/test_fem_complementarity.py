"""Linear complementarity problems by pivoting."""

import numpy as np
import pytest

from hoopwright.fem import SolveError
from hoopwright.fem.complementarity import complementary, contact_force

SIZES = (1, 3, 20)


def random_problem(size):
    """M, positive definite and not symmetric, so that there is exactly one solution; q; a generator."""
    rng = np.random.default_rng(size)
    M = rng.standard_normal((size, size))
    return M @ M.T + 0.1 * np.eye(size) + 0.5 * (M - M.T), rng.standard_normal(size), rng


@pytest.mark.parametrize("size", SIZES)
def test_pivoting_solves_a_random_problem(size):
    M, q, rng = random_problem(size)
    z, w = complementary(M, q, rng.uniform(0.7, 1.0, size))
    assert w == pytest.approx(M @ z + q, abs=1e-8)
    assert min(z.min(), w.min()) >= 0.0
    assert not np.any(z * w)


@pytest.mark.parametrize("size", SIZES)
def test_both_ways_of_pivoting_find_the_same_solution(size):
    M, q, _ = random_problem(size)
    z, _ = complementary(M, q, np.ones(size))
    assert contact_force(M, -q) == pytest.approx(z, abs=1e-7 * max(1.0, z.max()))


def test_a_problem_that_zero_solves_needs_no_pivoting():
    z, w = complementary(np.array([[-1.0]]), np.array([2.0]), np.ones(1))
    assert (z, w) == (0.0, 2.0)


def test_a_problem_without_a_solution_is_recognised():
    M, q = np.array([[-1.0]]), np.array([-1.0])
    assert complementary(M, q, np.ones(1)) is None
    with pytest.raises(SolveError, match="contact did not converge in 300 steps"):
        contact_force(M, -q)
