"""Where a rising function crosses zero."""

import numpy as np
import pytest
from scipy.optimize import brentq

from hoopwright.measured.crossing import crossing


@pytest.mark.parametrize(
    ("function", "low", "high"),
    [
        (lambda x: x**3 - 2.0, 0.0, 5.0),
        (lambda x: np.tanh(50.0 * (x - 0.9)), 0.0, 1.0),  # flat at both ends
        (lambda x: 1.0 - 1e-6 - np.exp(-x), 0.0, 40.0),
        (lambda x: np.log(np.sinh(x) / x) - np.log(3.0), 1e-6, 600.0),
    ],
)
def test_it_is_found_as_by_the_library(function, low, high):
    wanted = brentq(function, low, high, xtol=1e-15)
    assert crossing(function, low, high) == pytest.approx(wanted, rel=1e-9)


def test_at_an_end_it_is_that_end():
    assert crossing(lambda x: x - 1.0, 1.0, 3.0) == 1.0
    assert crossing(lambda x: x - 3.0, 1.0, 3.0) == 3.0
    assert crossing(lambda x: x - 4.0, 1.0, 3.0) == 3.0  # rounding keeps it just below zero
