"""Numerical errors cover the true ones, are not far larger, and the usual mesh is good to 1 %.

Slow: run by `pytest -m slow`, with -s to see the table.
"""

import pytest
from studies.error_bars import Line, study, table

pytestmark = pytest.mark.slow

COVERS, MOST_RATIO, MOST_ERROR = 0.95, 5.0, 0.01

# What falls short of that, and why, is told in DEVELOPERS.md; here it is kept from getting worse.
LEAST = {"lowest pressure in service": 0.92}
MOST = {"lowest pressure in service": 7.0, "share of friction used": 7.0}


@pytest.fixture(scope="module")
def lines() -> list[Line]:
    found = study()
    print("\n" + table(found))
    return found


def test_numerical_errors_cover_the_true_ones(lines):
    assert {k.quantity: k.covers for k in lines if k.covers < LEAST.get(k.quantity, COVERS)} == {}


def test_numerical_errors_are_at_most_five_times_the_true_ones(lines):
    assert {k.quantity: k.ratio for k in lines if k.ratio > MOST.get(k.quantity, MOST_RATIO)} == {}


def test_usual_mesh_keeps_stress_pressure_closure_and_force_within_one_per_cent(lines):
    small = [k for k in lines if k.must_be_small]
    assert len(small) >= 8
    assert {k.quantity: k.greatest for k in small if k.greatest > MOST_ERROR} == {}
