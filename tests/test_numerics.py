"""The cubic and the root that stand in for those of scipy, held against them."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import brentq

from hoopwright.measured.numerics import Cubic, root


def test_a_cubic_is_that_of_scipy_at_nodes_between_and_beyond():
    rng = np.random.default_rng(3)
    nodes = np.cumsum(rng.uniform(0.1, 2.0, 12))
    values, slopes = rng.normal(size=12), rng.normal(size=12)
    x = np.concatenate([nodes, rng.uniform(nodes[0] - 1.0, nodes[-1] + 1.0, 200)]).reshape(4, -1)
    assert Cubic(nodes, values, slopes)(x) == pytest.approx(CubicHermiteSpline(nodes, values, slopes)(x))


@pytest.mark.parametrize("tolerance", [1e-3, 1e-9])
def test_a_root_is_that_of_scipy(tolerance):
    for at in (0.013, 0.4, 7.7, 99.0):
        for function in (
            lambda x, at=at: np.tanh(3.0 * (x - at)),
            lambda x, at=at: x**5 - at**5,
            lambda x, at=at: np.exp(-at) - np.exp(-x),
            lambda x, at=at: np.cbrt(x - at),
        ):
            expected = brentq(function, 0.0, 100.0, xtol=1e-12)
            assert root(function, 0.0, 100.0, tolerance) == pytest.approx(expected, abs=2.0 * tolerance)


def test_a_root_at_an_end_and_one_that_is_not_there():
    assert root(lambda x: x, 0.0, 1.0, 1e-9) == 0.0
    assert root(lambda x: x - 1.0, 0.0, 1.0, 1e-9) == 1.0
    with pytest.raises(ValueError, match="one sign"):
        root(lambda x: x + 1.0, 0.0, 1.0, 1e-9)
