"""Solves that are shared, superposed and put in order give what each would give alone."""

import numpy as np
import pytest
from fem_models import (
    MATERIALS,
    crank_shell,
    interference_profile,
    joined_everywhere,
    sleeved_shell,
)

from fem import FitSolver, Resolution, draw
from fem.linear import Superposition
from fem.numbering import elimination_places
from geometry import Land


@pytest.fixture(scope="module")
def assembly():
    return draw(crank_shell(start=10.0, end=60.0), MATERIALS, Resolution(elements_through_wall=2))


@pytest.mark.parametrize("stuck", [False, True])
def test_a_fit_added_up_from_earlier_ones_is_the_fit_solved_by_itself(assembly, stuck):
    profile = interference_profile(assembly)
    kept = FitSolver(assembly.model, assembly.interface)
    for shift, rise in ((0.0, 0.0), (-0.003, 0.0), (0.001, 30.0), (-0.002, -25.0), (0.005, 7.0)):
        fit = kept.press(profile + shift, stuck=stuck, temperature_rise=rise)
        alone = FitSolver(assembly.model, assembly.interface).press(
            profile + shift, stuck=stuck, temperature_rise=rise)
        assert np.array_equal(fit.closed, alone.closed)
        assert fit.pressure == pytest.approx(alone.pressure, rel=1e-8, abs=1e-8 * alone.pressure.max())
        largest = np.abs(alone.displacement).max()
        assert fit.displacement == pytest.approx(alone.displacement, abs=1e-9 * largest)


@pytest.mark.parametrize("stuck", [False, True])
def test_pairs_that_open_are_solved_as_if_never_closed(stuck, monkeypatch):
    """A taper touches at one end only; every set found by its own factor against sets found by widening."""
    taper = (Land(0.0, 60.0, 38.985, 39.040),)
    pair = sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=taper)
    assembly = draw(pair, MATERIALS, Resolution(elements_through_wall=2))
    profile = interference_profile(assembly)
    widened = FitSolver(assembly.model, assembly.interface)
    fits = [widened.press(profile + shift, stuck=stuck) for shift in (0.0, 0.001, -0.001)]
    assert any(tied.widened for tied in widened._factors.values())
    monkeypatch.setattr("fem.contact.MOST_RELEASED", -1)
    for fit, shift in zip(fits, (0.0, 0.001, -0.001), strict=True):
        alone = FitSolver(assembly.model, assembly.interface).press(profile + shift, stuck=stuck)
        assert 0 < np.count_nonzero(alone.closed) < len(alone.closed)
        assert np.array_equal(fit.closed, alone.closed)
        assert fit.pressure == pytest.approx(alone.pressure, rel=1e-7, abs=1e-7 * alone.pressure.max())


def test_only_what_is_new_in_an_argument_is_evaluated():
    matrix = np.random.default_rng(1).normal(size=(5, 7))
    asked = []

    def function(x):
        asked.append(x)
        return matrix @ x

    linear = Superposition(function)
    a, b = np.random.default_rng(2).normal(size=(2, 7))
    for x in (a, 2.0 * a, a + 0.1 * b, -3.0 * a + 7.0 * b, np.zeros(7), b):
        assert linear(x) == pytest.approx(matrix @ x, rel=1e-9, abs=1e-12)
    assert len(asked) == 2


def test_a_forgotten_direction_is_evaluated_again():
    linear = Superposition(lambda x: 3.0 * x, keep=2)
    for x in np.random.default_rng(3).normal(size=(20, 4)):
        assert linear(x) == pytest.approx(3.0 * x, rel=1e-12)
        assert len(linear._known) <= 2


def test_order_of_elimination_takes_every_node_once_and_pairs_together(assembly):
    pairs = assembly.interface
    places = elimination_places(assembly.model.mesh, pairs, joined_everywhere(assembly))
    assert np.array_equal(places[pairs.shell], places[pairs.sleeve])
    alone = np.delete(places, pairs.shell)
    assert len(np.unique(alone)) == len(alone)
