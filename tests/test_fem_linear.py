"""Cached, superposed and reordered solves give the same result as a solve alone."""

import numpy as np
import pytest
from fem_models import (
    MATERIALS,
    crank_shell,
    interference_profile,
    joined_everywhere,
    sleeved_shell,
)
from scipy.sparse import csc_matrix

from hoopwright.fem import FitSolver, Resolution, mesh_joint
from hoopwright.fem.errors import SolveError
from hoopwright.fem.factor_cache import FactorCache
from hoopwright.fem.linear_solver import Factor, Superposition
from hoopwright.fem.numbering import elimination_order
from hoopwright.geometry import Land


@pytest.fixture(scope="module")
def meshed_joint():
    return mesh_joint(crank_shell(start=10.0, end=60.0), MATERIALS, Resolution(elements_through_wall=2))


@pytest.mark.parametrize("stuck", [False, True])
def test_a_fit_superposed_from_earlier_fits_equals_the_fit_solved_alone(meshed_joint, stuck):
    profile = interference_profile(meshed_joint)
    shared = FitSolver(meshed_joint.model, meshed_joint.interface)
    for shift, rise in ((0.0, 0.0), (-0.003, 0.0), (0.001, 30.0), (-0.002, -25.0), (0.005, 7.0)):
        fit = shared.press(profile + shift, stuck=stuck, temperature_rise=rise)
        alone = FitSolver(meshed_joint.model, meshed_joint.interface).press(
            profile + shift, stuck=stuck, temperature_rise=rise
        )
        assert np.array_equal(fit.closed, alone.closed)
        assert fit.pressure == pytest.approx(alone.pressure, rel=1e-8, abs=1e-8 * alone.pressure.max())
        largest = np.abs(alone.displacement).max()
        assert fit.displacement == pytest.approx(alone.displacement, abs=1e-9 * largest)


@pytest.mark.parametrize("stuck", [False, True])
def test_pairs_that_open_are_solved_as_if_never_closed(stuck):
    """A taper touches at one end only; contact sets with their own factor against sets found by low-rank
    updates."""
    taper = (Land(0.0, 60.0, 38.985, 39.040),)
    pair = sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=taper)
    meshed_joint = mesh_joint(pair, MATERIALS, Resolution(elements_through_wall=2))
    profile = interference_profile(meshed_joint)
    releasing = FitSolver(meshed_joint.model, meshed_joint.interface)
    exact = FitSolver(meshed_joint.model, meshed_joint.interface, factors=FactorCache(max_released=0))
    for shift in (0.0, 0.001, -0.001):
        fit, alone = (solver.press(profile + shift, stuck=stuck) for solver in (releasing, exact))
        assert 0 < np.count_nonzero(alone.closed) < len(alone.closed)
        assert np.array_equal(fit.closed, alone.closed)
        assert fit.pressure == pytest.approx(alone.pressure, rel=1e-7, abs=1e-7 * alone.pressure.max())
    assert len(releasing.factors) < len(exact.factors)


def test_an_inexact_inverse_is_refined_once_and_a_worse_one_is_refused():
    """An inverse that is off by e leaves a residual of e², which has to be below a hundred-thousandth."""
    rng = np.random.default_rng(4)
    matrix = rng.normal(size=(6, 6))
    matrix = matrix @ matrix.T + 6.0 * np.eye(6)
    wanted = rng.normal(size=6)

    def solve(off):
        inverse = (1.0 - off) * np.linalg.inv(matrix)
        return Factor(csc_matrix(matrix), lambda rhs: inverse @ rhs).solve(matrix @ wanted)

    assert solve(0.002) == pytest.approx(wanted, rel=1e-5)
    with pytest.raises(SolveError, match="relative residual"):
        solve(0.01)


def test_only_new_directions_of_an_argument_are_evaluated():
    matrix = np.random.default_rng(1).normal(size=(5, 7))
    evaluated = []

    def function(x):
        evaluated.append(x)
        return matrix @ x

    linear = Superposition(function)
    a, b = np.random.default_rng(2).normal(size=(2, 7))
    for x in (a, 2.0 * a, a + 0.1 * b, -3.0 * a + 7.0 * b, np.zeros(7), b):
        assert linear(x) == pytest.approx(matrix @ x, rel=1e-9, abs=1e-12)
    assert len(evaluated) == 2


def test_an_evicted_direction_is_evaluated_again():
    linear = Superposition(lambda x: 3.0 * x, max_directions=2)
    for x in np.random.default_rng(3).normal(size=(20, 4)):
        assert linear(x) == pytest.approx(3.0 * x, rel=1e-12)
        assert len(linear._basis) <= 2


def test_elimination_order_has_every_node_once_and_pairs_together(meshed_joint):
    pairs = meshed_joint.interface
    places = elimination_order(meshed_joint.model.mesh, pairs, joined_everywhere(meshed_joint))
    assert np.array_equal(places[pairs.shell], places[pairs.sleeve])
    alone = np.delete(places, pairs.shell)
    assert len(np.unique(alone)) == len(alone)
