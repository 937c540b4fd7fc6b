"""Several errors at once: exact in both limits, by quadrature between them, and simulated shop by shop."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from scipy import special
from scipy.integrate import quad

from hoopwright.case.read import parse_case
from hoopwright.case.sizing_model import SizeInput
from hoopwright.geometry.joint import joint
from hoopwright.geometry.readings import Gauge, LandReadings, Station
from hoopwright.interference import effective_interference
from hoopwright.measured.form_prior import OVALITY_COUNTED, USUAL_FORM
from hoopwright.measured.measured_land import measured_land
from hoopwright.measured.together import caused, chance_together, widening_together
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent
from hoopwright.sizing.turn_to import decide, turn_to
from hoopwright.sizing.window import End, Window


def errors(*, common=0.0, own=0.0, lands=2):
    """Errors of some lands: rectangular in common, as of a gauge, and normal of each."""
    budget = UncertaintyBudget(
        (
            UncertaintyComponent("accuracy of the gauge", common, common="g"),
            UncertaintyComponent("scatter", own, "normal"),
        )
    )
    return [caused(budget, "shell", k) for k in range(lands)]


def test_what_all_lands_have_in_common_costs_nothing_more():
    found = errors(common=3.0, lands=3)
    assert chance_together(found, -2.0, 2.0) == pytest.approx(found[0].budget.probability(-2.0, 2.0))
    assert widening_together(found, [2.85] * 3, 0.95) == 1.0


def test_what_is_of_each_land_alone_multiplies():
    """Told 0.950, jointly 0.950² = 0.903; two normal errors hold at once within 2.2365 σ for 1.9600 σ."""
    found = errors(own=1.0)
    assert chance_together(found, -1.959964, 1.959964) == pytest.approx(0.95**2, abs=1e-4)
    assert widening_together(found, [1.959964] * 2, 0.95) == pytest.approx(2.23648 / 1.959964, abs=1e-4)


@pytest.mark.parametrize(("common", "own"), [(2.0, 0.5), (1.0, 1.0), (0.5, 2.0)])
def test_between_the_limits_it_agrees_with_quadrature_over_what_is_common(common, own):
    found, limit = errors(common=common, own=own, lands=3), common + 1.6 * own

    def all_inside(c, at):
        return (special.ndtr((at - c) / own) - special.ndtr((-at - c) / own)) ** 3 / (2.0 * common)

    exact = quad(all_inside, -common, common, args=(limit,))[0]
    assert chance_together(found, -limit, limit) == pytest.approx(exact, abs=0.003)
    half = found[0].budget.half_width()
    factor = widening_together(found, [half] * 3, 0.95)
    assert quad(all_inside, -common, common, args=(factor * half,))[0] == pytest.approx(0.95, abs=0.004)
    assert factor > 1.0


def test_a_land_read_twice_as_warm_shares_what_it_was_read_with():
    """Two lands read with one gauge in one shop, the second also with another in a warmer one: gauge, that
    temperature and the expansion are the same in both, though the budget of the second names them apart."""
    first, second = (Gauge(n, 0.001, 0.002, zero_error=0.001, repeatability=0.001) for n in ("a", "b"))
    own = Station(30.0, (), (41.0,), first, 4.0, 1.0)
    lands = [
        measured_land(
            LandReadings(0.0, 60.0, stations), expansion=23e-6, part="shell", surface="bore", index=index
        )
        for index, stations in enumerate([(own,), (own, Station(30.0, (), (41.0,), second, 9.0, 2.0))])
    ]
    one, other = (caused(land.errors, "shell", land.index) for land in lands)
    shared = {cause[1] for cause in one.causes & other.causes}
    assert {"accuracy of a", "zero of a", "expansion of the part", "expansion of a"} <= shared
    assert "temperature 4 ± 1 K" in shared
    assert not any("unread" in str(cause) or "repeatability" in str(cause) for cause in shared)


BORE, SLEEVE = (40.000, 39.980), (40.040, 40.020)
LANDS = """
[[shell.bore]]
from = "{a} mm"
to = "{b} mm"
gauge = "bore gauge"
readings = [
  {{ z = "{z[0]} mm", angles = "0 45 90 135 deg", values = "{d:.3f} {d:.3f} {d:.3f} {d:.3f} mm" }},
  {{ z = "{z[1]} mm", angles = "0 45 90 135 deg", values = "{d:.3f} {d:.3f} {d:.3f} {d:.3f} mm" }},
  {{ z = "{z[2]} mm", angles = "0 45 90 135 deg", values = "{d:.3f} {d:.3f} {d:.3f} {d:.3f} mm" }},
]
[[sleeve.outside]]
from = "{a} mm"
to = "{b} mm"
{sleeve}
"""
CASE = """
title = "two lands"
[gauge."bore gauge"]
resolution = "0.1 um"
max_error = "2 um"
repeatability = "3 um"
[shell]
material = "6061-T6"
width = "60 mm"
outside_diameter = "46 mm"
[sleeve]
material = "E355 steel"
length = "60 mm"
bore_diameter = "35 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
"""
SCATTER = 0.003 * ((2 * 0.375**2 + 0.25**2) / 4) ** 0.5
"""Of the mean over a bore: 3 µm of a reading, four at each station, ζ = ±2/3 that weigh (1/3)/(2 · 4/9)
each and 0 that weighs the rest."""
STATED = 'diameter = "{d} mm"\nplus_minus = "3 um"'


def two_lands():
    text = CASE
    for (a, b), bore, sleeve in zip(((0, 30), (30, 60)), BORE, SLEEVE, strict=True):
        stated = STATED.format(d=sleeve)
        text += LANDS.format(a=a, b=b, z=(a + 5, a + 15, a + 25), d=bore, sleeve=stated)
    return parse_case(text)


def study_without_a_solve(case):
    seats = joint(case.shell, case.sleeve)
    found = effective_interference(case, seats)
    return SimpleNamespace(
        joint=seats,
        interference=found,
        nominal_interference=0.040,
        interference_half_width=found.errors.half_width(),
    )


def window(half):
    return Window(0.040, End(-half, None), End(half, None))


def form_of_one_reading(rng, count):
    """What a single reading at mid-length of a turned sleeve does not show: an ovality of unknown angle, a
    bell-mouth."""
    usual = USUAL_FORM["turned"]
    oval = 0.5 * OVALITY_COUNTED * usual.ovality * np.cos(2.0 * np.pi * rng.random(count))
    return oval + usual.bell_mouth / 3.0 * rng.uniform(-1.0, 1.0, count)


def test_the_chance_of_the_decision_is_that_of_all_seats_at_once():
    """Against parts drawn one by one; the chance of the worse seat alone is higher."""
    case = two_lands()
    found = decide(case, study_without_a_solve(case), window(0.004))
    rng, count = np.random.default_rng(4), 200_000
    gauge = 0.002 * rng.uniform(-1.0, 1.0, count)
    inside = np.ones(count, bool)
    for _ in range(2):
        bore = gauge + SCATTER * rng.standard_normal(count)
        inside &= np.abs(0.003 * rng.uniform(-1.0, 1.0, count) - bore) <= 0.004
    assert found.probability == pytest.approx(inside.mean(), abs=0.004)


def test_all_lands_lie_in_the_window_as_often_as_stated():
    """Each land at the same or the other edge of its band; read with one micrometer, in a warm shop."""
    micrometer = Gauge("micrometer", 0.0001, 0.001, zero_error=0.001, repeatability=0.002)
    case = replace(two_lands(), size=SizeInput(micrometer, 1, 6.0, 2.0))
    study, half = study_without_a_solve(case), 0.015
    bands = turn_to(case, study, window(half)).bands
    rng, count = np.random.default_rng(5), 100_000
    gauge, own = 0.002 * rng.uniform(-1, 1, count), 0.001 * rng.uniform(-1, 1, (2, count)).sum(axis=0)
    for alpha in (
        case.sleeve_material.expansion,
        micrometer.expansion,
    ):  # both known to 2 K
        own += 40.0 * alpha * (2.0 * rng.uniform(-1, 1, count) + 0.6 * rng.uniform(-1, 1, count))
    together = {}
    for edges in (("low", "low"), ("low", "high"), ("high", "high")):
        inside = np.ones(count, bool)
        for band, edge, bore in zip(bands, edges, BORE, strict=True):
            read = getattr(band, edge) - bore - 0.040
            error = own + 0.002 * rng.standard_normal(count) + form_of_one_reading(rng, count)
            error -= gauge + SCATTER * rng.standard_normal(count)
            inside &= np.abs(read + error) <= half
        together[edges] = inside.mean()
    assert min(together.values()) >= 0.95
    guard = max(b.guard for b in bands)
    alone = own + 0.002 * rng.standard_normal(count) + form_of_one_reading(rng, count)
    alone = np.abs(alone - gauge - SCATTER * rng.standard_normal(count))
    assert guard > np.quantile(alone, 0.95)  # that of one land would not do


def test_the_guard_is_for_all_lands_at_once():
    case = replace(two_lands(), size=SizeInput(Gauge("m", 0.0001, 0.0, repeatability=0.003), 1))
    bands = turn_to(case, study_without_a_solve(case), window(0.030)).bands
    rng, count = np.random.default_rng(9), 200_000
    gauge, worst = 0.002 * rng.uniform(-1.0, 1.0, count), np.zeros(count)
    for band in bands:
        own = 0.003 * rng.standard_normal(count) + SCATTER * rng.standard_normal(count)
        own += form_of_one_reading(rng, count)
        worst = np.maximum(worst, np.abs(gauge + own) / band.guard)
    assert np.mean(worst <= 1.0) == pytest.approx(0.95, abs=0.004)
