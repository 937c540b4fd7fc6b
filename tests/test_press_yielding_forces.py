"""Where metal yields on the way in, what the press should read and what its reading says count with it."""

from dataclasses import replace

import numpy as np
import pytest
from press_cases import press_case
from reference.plastic import mises_limit_pressure

from hoopwright import status
from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.discretisation import usual_resolution
from hoopwright.display import Units
from hoopwright.document.press import document
from hoopwright.fem import Resolution
from hoopwright.pipeline import check_case
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.pressing.inference import infer_fit
from hoopwright.pressing.plan import press_plan
from hoopwright.pressing.yielding import yield_shares
from hoopwright.screen.press import report
from hoopwright.study import CaseStudy

PIPES = """
title = "Thin stainless pipe ends, invented"
[shell]
material = "304 stainless"
width = "20 mm"
outside_diameter = "25.35 mm"
bore_diameter = "23.70 mm"
[sleeve]
material = "304 stainless"
length = "15 mm"
outside_diameter = "23.95 mm"
bore_diameter = "22.45 mm"
[fit]
friction_low = 0.10
friction_high = 0.30
[press]
"""


def pipes(press=""):
    return parse_case(PIPES + press)


@pytest.fixture(scope="module")
def study():
    case = pipes()
    return CaseStudy(case, usual_resolution(case))


@pytest.fixture(scope="module")
def curve(study):
    return case_force_travel(study)


def test_least_likely_and_stop_are_those_of_metal_that_gives_way(curve):
    """The least was 7,125 N, where the metal that yields reads 1,235 to 3,749."""
    low, likely, high = curve.peak
    assert 1235.0 <= low <= 1250.0
    assert high == pytest.approx(3749.0, rel=2e-3)
    assert low < likely < high
    assert curve.restart_force == pytest.approx(1.3 * high, rel=0.01)
    assert curve.elastic_peak == pytest.approx(21901.0, rel=2e-3)  # E 199.9 GPa
    assert np.all(np.diff(curve.force, axis=0) > 0.0)


def test_at_home_it_presses_with_the_limit_pressure_of_the_sleeve(study, curve):
    """A ring pressed from outside carries Y(1 − a/b) by Tresca's rule, and at most 2/√3 Y ln(b/a), plane
    strain von Mises. Sizes as meshed, both bodies to the bore of the shell."""
    strength = study.case.sleeve_material.yield_strength
    normal = curve.normal[-1, 1] / (1.0 + curve.frictions[1] * curve.positions[-1].push_gain)
    most = mises_limit_pressure(a=11.225, b=11.85, yield_stress=strength)
    assert strength * (1.0 - 11.225 / 11.85) < normal / (np.pi * 23.70 * 15.0) < most


def test_a_partly_engaged_sleeve_loses_less_of_its_force_than_one_that_is_home(curve):
    """The bare metal beyond it holds its end up."""
    left = curve.yield_share[1:, 2]
    assert np.all(np.diff(left) < 0.0)
    assert left[0] > 1.5 * left[-1]


def test_yielding_takes_nothing_off_a_fit_within_yield():
    case = press_case()
    curve = case_force_travel(CaseStudy(case, Resolution(elements_through_wall=2)))
    assert not curve.metal_yields
    assert np.all(curve.yield_share == 1.0)
    assert curve.peak[2] == curve.elastic_peak


def test_a_reading_of_yielding_metal_is_no_loose_fit(study, curve):
    """2.1 kN, what the metal reads at the likely friction, was told to be a fit looser than measured."""
    found = infer_fit(pipes('observed_peak = "2.1 kN"\n'), study, curve, with_margins=False)
    assert not found.contradicted
    assert found.posterior.friction.median == pytest.approx(2100.0 / 2154.0 * 0.173, rel=0.05)
    assert found.sliding_force.high < 3749.0


def test_the_bore_of_a_sleeve_that_gave_way_closes_by_more_than_elastically(study, curve):
    """At mid-sleeve it closes by nearly the whole interference; what was read contradicted the case."""
    press = 'observed_peak = "2.1 kN"\nobserved_closure = "CLOSED um"\nclosure_plus_minus = "6 um"\n'
    agrees, elastic = (
        infer_fit(pipes(press.replace("CLOSED", closed)), study, curve, with_margins=False)
        for closed in ("245", "135")
    )
    assert not agrees.contradicted
    assert elastic.contradicted


@pytest.mark.slow
@pytest.mark.parametrize(
    ("peak", "words"),
    [
        ("9 kN", "metal is stronger than the case says"),
        ("300 N", "metal is weaker than the case says"),
    ],
)
def test_a_contradiction_names_the_yielding(peak, words):
    plan = press_plan(pipes(f'observed_peak = "{peak}"\n'))
    shown = document(plan, Units())
    text = " ".join(report(shown, Units()).split())
    assert "contradicts the sizes and the friction given" in text
    assert words in text
    assert "The metal yields as it is pressed" in text
    assert "than measured, or the friction" not in text
    assert shown["inferred_fit"]["would_take"]["interference_at_highest_friction_um"] is None


@pytest.mark.slow
def test_check_compares_the_reading_with_the_same_forces(tmp_path, capsys):
    case = pipes('observed_peak = "2.1 kN"\n')
    assert not check_case(case).contradicted_by_readings
    path = tmp_path / "pipes.toml"
    path.write_text(PIPES + 'observed_peak = "9 kN"\n', encoding="utf-8")
    assert main(["check", str(path)]) == status.SOME_FAIL
    assert "read at the press contradicts" in " ".join(capsys.readouterr().out.split())


def test_a_cold_bench_takes_interference_off_a_sleeve_that_shrinks_more():
    """What yielding leaves is that of the interference at the bench: 8.7 µm less here at 0 °C. Expansion
    of aluminium and steel from memory, 23.4e-6 and 12.0e-6."""
    case = press_case(bore='bore_diameter = "39.000 mm"', outside='outside_diameter = "39.300 mm"')
    left = {}
    for rise, shift in ((-20.0, 0.0), (0.0, 39.0 * (23.4e-6 - 12.0e-6) * 20.0)):
        one = replace(case, press=replace(case.press, temperature_rise_K=rise))
        mesh = CaseStudy(one, Resolution(elements_through_wall=2)).coarse
        left[rise] = yield_shares(one, mesh, (shift,)).force[0]
    assert left[-20.0] == pytest.approx(left[0.0], rel=1e-3)
    assert left[-20.0] < 0.8
