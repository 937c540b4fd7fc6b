"""Fits past yield: what extra interference adds, and what stays as permanent deformation."""

import pytest
from press_cases import press_case
from reference.plastic import mises_limit_pressure

from hoopwright.fem import Resolution
from hoopwright.pressing.past_yield import solve_past_yield
from hoopwright.study import CaseStudy

COARSE = Resolution(elements_through_wall=3)


@pytest.fixture(scope="module")
def soft():
    """A shell of 115 MPa yield, 44/39 mm: first yield near 13 MPa of pressure."""
    return CaseStudy(press_case(shell="6061-T6 welded"), COARSE)


def test_within_the_elastic_range_every_micrometre_adds_pressure(soft):
    found = solve_past_yield(soft, greatest=0.0)
    assert not found.plastic
    assert found.last.normal == pytest.approx(found.last.elastic_normal, rel=1e-9)
    assert found.last.remaining == pytest.approx(0.040, rel=1e-9)
    assert found.last.outside_growth == 0.0


def test_past_full_yield_extra_interference_adds_no_pressure_and_stays_as_growth(soft):
    """The limit lies between (Y) and (2/√3 Y) times ln(b/a), Tresca and plane strain von Mises; further
    interference goes into the shell, micrometre for micrometre."""
    found = solve_past_yield(soft, greatest=0.200)
    last, before = found.steps[-1], found.steps[-2]
    pressure = last.normal / (3.14159265 * 39.0 * 73.0)
    limit = mises_limit_pressure(a=19.5, b=22.0, yield_stress=115.0)
    assert 0.866 * limit < pressure < limit
    assert last.gain_share < 0.05
    assert last.bore_growth - before.bore_growth == pytest.approx(
        last.interference - before.interference, rel=0.05
    )
    assert last.remaining < 0.6 * last.interference
    assert last.equivalent["sleeve"] == 0.0
    assert found.force_loss == pytest.approx(1.0 - last.remaining / last.interference)


def test_remaining_interference_is_the_total_less_permanent_deformation(soft):
    """Left of the interference = interference − permanent growth of the bore − shrink of the sleeve."""
    last = solve_past_yield(soft, greatest=0.100).last
    assert last.remaining == pytest.approx(
        last.interference - last.bore_growth - last.sleeve_shrink, rel=0.01
    )
