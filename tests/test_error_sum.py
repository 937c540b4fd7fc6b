"""Sums of errors against closed forms, quadrature and samples."""

from math import inf, log1p, pi

import numpy as np
import pytest
from scipy import integrate, stats
from small_cases import TWO_READINGS

from hoopwright.case.read import parse_case
from hoopwright.measured.error_sum import Addend, ErrorSum
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent

EXACT = 1e-3
"""Share of the half-width that is asked for; most sums are a thousand times closer."""


def normal(scale, dof=inf):
    return UncertaintyComponent("scatter", scale, "normal", dof)


def limit(scale):
    return UncertaintyComponent("limit", scale)


@pytest.mark.parametrize("dof", [1, 2, 3, 5, 8, 30, 400, inf])
def test_few_readings_alone_follow_student_s_t(dof):
    exact = stats.norm if dof == inf else stats.t(dof)
    for scale in (1e-6, 1.0):
        errors = UncertaintyBudget((normal(scale, dof),))
        for confidence in (0.5, 0.95, 0.999, 0.99999):
            expected = scale * exact.ppf(0.5 + 0.5 * confidence)
            assert errors.half_width(confidence) == pytest.approx(expected, rel=2e-5)
        assert errors.probability(-scale, 2.0 * scale) == pytest.approx(
            exact.cdf(2.0) - exact.cdf(-1.0), abs=1e-8
        )


@pytest.mark.parametrize("width", [1e-9, 1e-4, 0.02, 1.0, 30.0, 1e4])
def test_two_readings_and_a_limit_by_closed_form(width):
    """One degree of freedom is a Cauchy distribution F; with a limit ± a the sum has the distribution
    [I(x + a) − I(x − a)] / 2a with I(y) = y F(y) − ln(1 + y²) / 2π."""

    def integrated(y):
        return y * stats.cauchy.cdf(y) - log1p(y * y) / (2.0 * pi)

    half = UncertaintyBudget((normal(1.0, 1), limit(width))).half_width()
    if width < 1e-3:  # the difference of the integrals is lost in rounding
        assert half == pytest.approx(stats.cauchy.ppf(0.975), rel=1e-6)
        return
    below = (integrated(half + width) - integrated(half - width)) / (2.0 * width)
    assert below == pytest.approx(0.975, abs=1e-6)


def arcsine(scale):
    return UncertaintyComponent("ovality", scale, "arcsine")


@pytest.mark.parametrize("confidence", [0.5, 0.95, 0.99])
def test_the_cosine_of_an_unknown_angle_by_closed_form(confidence):
    half = UncertaintyBudget((arcsine(3.0),)).half_width(confidence)
    assert half == pytest.approx(3.0 * np.sin(0.5 * pi * confidence), rel=EXACT)


@pytest.mark.parametrize("dof", [1, 4, inf])
def test_an_unknown_angle_beside_scatter_by_quadrature(dof):
    """P(a cos φ + t ≤ x) is the mean of F((x − a cos φ)/s) over φ."""
    half = UncertaintyBudget((arcsine(3.0), normal(0.5, dof))).half_width()
    exact = stats.norm if dof == inf else stats.t(dof)
    below = integrate.quad(lambda phi: exact.cdf((half - 3.0 * np.cos(phi)) / 0.5) / pi, 0.0, pi)[0]
    assert below == pytest.approx(0.975, abs=2e-5)


@pytest.mark.parametrize("dof", [2, 3, 5])
def test_few_readings_a_normal_part_and_a_limit_by_quadrature(dof):
    half = UncertaintyBudget((normal(1.0, dof), normal(0.8), limit(3.0))).half_width()

    def below(y):
        z = np.array([half - y + 3.0, half - y - 3.0]) / 0.8
        upper, lower = 0.8 * (z * stats.norm.cdf(z) + stats.norm.pdf(z))
        return stats.t.pdf(y, dof) * (upper - lower) / 6.0

    found = integrate.quad(below, -1e4, 1e4, points=[-10.0, 0.0, half, 10.0], limit=400)[0]
    assert found == pytest.approx(0.975, abs=1e-5)


def test_bore_and_sleeve_each_with_two_readings():
    """The sum of two Cauchy errors is one of their summed scale."""
    errors = UncertaintyBudget((normal(1.0, 1), normal(0.5, 1)))
    assert errors.half_width() == pytest.approx(1.5 * stats.cauchy.ppf(0.975), rel=1e-4)
    assert errors.half_width(0.9999) == pytest.approx(1.5 * stats.cauchy.ppf(0.99995), rel=1e-4)


def test_many_parts_by_sampling():
    errors = UncertaintyBudget(
        (
            normal(1.0, 3),
            normal(0.3, 1),
            normal(0.8, 5),
            normal(0.4),
            limit(2.0),
            UncertaintyComponent("product", 1.5, "product"),
        )
    )
    sample = errors.sample(np.random.default_rng(3), 400_000)
    half = errors.half_width()
    inside = np.mean(np.abs(sample) <= half)
    assert inside == pytest.approx(0.95, abs=4.0 * (0.95 * 0.05 / len(sample)) ** 0.5)


def test_the_product_of_two_limits():
    """Var(XY) = (1/3)²; P(|XY| > x) = 1 − x (1 − ln x)."""
    errors = UncertaintyBudget((UncertaintyComponent("product", 2.0, "product"),))
    assert errors.standard_uncertainty == pytest.approx(2.0 / 3.0)
    assert errors.limit == 2.0
    half = errors.half_width() / 2.0
    assert 1.0 - half * (1.0 - np.log(half)) == pytest.approx(0.05, abs=1e-5)


def test_the_order_of_the_parts_does_not_matter():
    parts = (normal(1.0, 3), limit(0.7), normal(0.4), limit(2.0), normal(0.3, 8))
    assert {UncertaintyBudget(p).half_width() for p in (parts, parts[::-1], parts[2:] + parts[:2])} == {
        UncertaintyBudget(parts).half_width()
    }


def test_quantiles_are_symmetric_and_an_empty_sum_is_exact():
    some = ErrorSum((Addend("normal", 1.0, 2.0), Addend("rectangular", 1.0)))
    assert some.quantile(0.1) == -some.quantile(0.9)
    assert some.cdf(np.array([some.quantile(0.9), 0.0])) == pytest.approx([0.9, 0.5])
    assert ErrorSum(()).quantile(0.975) == 0.0
    assert UncertaintyBudget().half_width() == 0.0


def test_two_readings_two_micrometres_apart():
    """Scatter √2 µm, 1 µm of their mean, one degree of freedom: t gives 12.71 µm, with ± 2 µm of the gauge
    12.81 µm, where a grid over a million standard deviations gave 74.4 µm."""
    (land,) = parse_case(TWO_READINGS).shell_measured
    read = UncertaintyBudget(tuple(p for p in land.errors.components if not p.name.startswith("unread")))
    assert 1e3 * read.half_width() == pytest.approx(12.81, abs=0.01)
