"""Rows against what a hand calculation says of them."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from pathlib import Path

import pytest
from cells import cell_of
from holding_case import CUPS, WARM, case_of, margins_by_id, text

from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence, evidence_of, judged
from hoopwright.checks.bore_closure import bore_closure
from hoopwright.checks.ends_crush import ends_crush
from hoopwright.checks.margin import Location
from hoopwright.document.check import fit_part
from hoopwright.fem import Resolution
from hoopwright.study import CaseStudy

STEEL = """
title = "steel in steel, invented"
[shell]
material = "1025 steel"
width = "40 mm"
outside_diameter = "56 mm"
bore_diameter = "40 mm"
[sleeve]
material = "1025 steel"
length = "40 mm"
outside_diameter = "40.030 mm"
bore_diameter = "32 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
[mesh]
elements_through_wall = 2
"""
OVAL = '[shell.out_of_round]\novality = "0.02 mm"\n'


def rows(case_text):
    case = parse_case(case_text)
    evidence = evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))
    return {row.id: row for row in judged(evidence)}


def test_a_cup_that_expands_more_than_the_sleeve_takes_the_play():
    """d (α_cup − α_sleeve) ΔT at the pitch diameter: an aluminium cup in a steel sleeve at 45 °C."""
    aluminium, steel = (
        cell_of(
            margins_by_id(case_of(CUPS.replace('material = "6061-T6"', f'material = "{m}"'), WARM))[
                "thread_fits"
            ],
            "cups",
        )
        for m in ("6061-T6", "1025 steel")
    )
    more = 34.798 - 0.6495 * 25.4 / 24.0
    expected = 1e3 * more * (23.4e-6 - case_of().sleeve_material.expansion) * 25.0
    assert aluminium.when.temperature_rise == 25.0
    found = aluminium.demand.value - steel.demand.value
    # with the steel cup the coldest fit is the tightest: its closure stands against that at 45 °C
    assert expected - 6.0 < found <= expected + 0.1


def test_thread_and_cup_of_one_metal_keep_their_play_at_every_temperature():
    """Both expand alike: what is left is what the fit does. Version 0.1.0 lost no play, but a thread that
    is measured at its root grew 0.2 µm more than the cup in it."""
    one = case_of(CUPS.replace('material = "6061-T6"', 'material = "1025 steel"'), WARM)
    steel = replace(one, shell_material=one.sleeve_material)
    found = margins_by_id(steel)["thread_fits"]
    pressed, cups = (cell_of(found, stage).demand.value for stage in ("pressed", "cups"))
    assert cups == pytest.approx(pressed, rel=1e-6)


def test_a_tap_takes_nothing_off_what_heat_does_afterwards():
    """A thread tapped after pressing had no closure at any temperature; an aluminium cup at 45 °C still
    grows 10 µm more than its thread, less what the sleeve opens as its shell lets go of it."""
    tapped, cut = (
        margins_by_id(case_of(CUPS, WARM, sleeve=f"tap_after_pressing = {word}"))["thread_fits"]
        for word in ("true", "false")
    )
    assert cell_of(tapped, "pressed").demand.value == 0.0
    since, closed = (cell_of(row, "cups").demand.value for row in (tapped, cut))
    assert cell_of(tapped, "cups").when.temperature_rise == 25.0
    on_the_bench = cell_of(cut, "pressed").demand.value
    assert "the tap takes off up to" in tapped.note
    assert "run a tap" not in tapped.note
    assert closed - on_the_bench <= since < 1e3 * 34.8 * (23.4e-6 - 12e-6) * 25.0


def test_a_cup_of_unknown_metal_is_said_to_be_one():
    found = margins_by_id(case_of(CUPS.replace('material = "6061-T6"\n', ""), WARM))["thread_fits"]
    assert "[cups] material is not given" in cell_of(found, "cups").basis


def test_what_is_shown_of_the_fit_has_no_free_expansion_in_it():
    """A steel sleeve in a steel shell shown at −10 °C: 11 µm of 32 mm would be its own shrinking."""
    warm, cold = (
        CaseStudy(
            parse_case(STEEL.replace("[fit]", f'[fit]\ntemperature = "{degrees} degC"')),
            Resolution(elements_through_wall=2),
        )
        for degrees in (20, -10)
    )
    for key in ("bore_closure_mid_sleeve_um", "outside_growth_um"):
        assert fit_part(cold)[key] == pytest.approx(fit_part(warm)[key], rel=1e-6), key
    first, second = (fit_part(study)["bore_closure_um"][3]["greatest"] for study in (cold, warm))
    assert first == pytest.approx(second, rel=1e-6)


def test_a_bench_that_is_warm_changes_no_closure_of_parts_of_one_metal():
    """Gauge and sleeve expand alike; 20 K are 9 µm on 37 mm."""
    warm = STEEL + '[press]\ntemperature = "40 degC"\n'
    cold, hot = (rows(t)["bore_closure"].demand for t in (STEEL, warm))
    assert hot is not None
    assert hot.value == pytest.approx(cold.value, rel=1e-4)


def test_the_housing_fitted_in_the_cold_closes_by_what_the_fit_does():
    """Pressed at −10 °C, 56.3 of 45 µm counted 15.1 that the steel sleeve shrinks as its gauge does."""
    frozen = (Path(__file__).parent / "frozen" / "worn_bearing_housing.toml").read_text(encoding="utf-8")
    cold = frozen.replace("[press]\n", '[press]\ntemperature = "-10 degC"\n', 1)
    case = parse_case(cold.replace('observed_peak = "2.6 kN"', ""))
    row = bore_closure(evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2))))
    shrunk = 1e3 * 42.0 * case.sleeve_material.expansion * 30.0
    assert row.demand.value == pytest.approx(56.3 - shrunk, abs=0.2)
    assert row.state == "holds"


def test_the_faces_carry_the_greatest_force_of_the_way_in_evenly():
    found = rows(STEEL)
    sleeve, shell = (0.25 * pi * (d**2 - b**2) for d, b in ((40.03, 32.0), (56.0, 40.0)))
    force = found["press_force"].demand.value
    assert found["ends_crush"].where == Location("sleeve", 0.25 * (40.03 + 32.0))
    assert found["ends_crush"].demand.value == pytest.approx(force / min(sleeve, shell), rel=1e-6)


@pytest.mark.parametrize(("outside", "body"), [("56 mm", "sleeve"), ("42 mm", "shell")])
def test_the_face_that_crushes_first_is_judged_by_the_metal_of_its_own_body(outside, body):
    """A strong sleeve in a soft shell: the smaller face by far gives way first, whichever body's it is."""
    text = STEEL.replace("56 mm", outside).replace('"1025 steel"', '"6061-T6 welded"', 1)
    case = parse_case(text)
    found = Evidence(case, CaseStudy(case, Resolution(elements_through_wall=2)), 0.0, 0.0)
    metals = {"sleeve": case.sleeve_material, "shell": case.shell_material}
    row = ends_crush(found)
    assert row.where.body == body
    assert row.capacity.value == metals[body].yield_strength


def test_a_chamfer_on_the_pushed_face_takes_its_ring():
    turned = STEEL.replace('bore_diameter = "32 mm"', 'bore_diameter = "32 mm"\nchamfer_left = "1 mm"')
    chamfered = rows(turned + '[press]\nenters_from = "left"\n')
    area = 0.25 * pi * ((40.03 - 2.0 * 0.58) ** 2 - 32.0**2)
    force = chamfered["press_force"].demand.value
    assert chamfered["ends_crush"].demand.value == pytest.approx(force / area, rel=1e-6)


def test_damage_is_asked_of_every_land():
    """A land bored less deep than the tear leaves damage, whatever the other land is bored to."""
    lands = """
[[shell.bore]]
from = "0 mm"
to = "20 mm"
diameter = "40 mm"
[[shell.bore]]
from = "20 mm"
to = "40 mm"
diameter = "39.9 mm"
"""
    boring = '[boring]\nbore_now = "38 mm"\ndamage_depth = "0.97 mm"\nrunout = "0.02 mm"\n'
    boring += 'depth_of_cut = "0.3 mm"\nfinish_cut = "0.05 mm"\n'
    two = STEEL.replace('bore_diameter = "40 mm"\n', "", 1).replace("[sleeve]", lands + "[sleeve]", 1)
    row = rows(two + boring)["damage_removed"]
    assert row.demand.value == pytest.approx(0.98)
    assert row.capacity.value == pytest.approx(0.95)
    assert (row.where.r, row.where.z) == pytest.approx((19.95, 20.0))
    assert row.state == "fails"
    assert rows(STEEL + boring)["damage_removed"].capacity.value == pytest.approx(1.0)


def test_an_oval_bore_raises_the_stress_on_the_way_in_by_as_much_as_at_rest():
    plain, oval = rows(STEEL), rows(STEEL.replace("[sleeve]", OVAL + "[sleeve]", 1))
    for body in ("shell_yields", "sleeve_yields"):
        rise = {
            stage: cell_of(oval[body], stage).demand.value / cell_of(plain[body], stage).demand.value
            for stage in ("entering", "pressed")
        }
        assert rise["pressed"] > 1.02
        assert rise["entering"] == pytest.approx(rise["pressed"], rel=0.02)


def test_flanges_on_the_shell_take_pressure_off_the_seat():
    """By Poisson's ratio: the shell is squeezed and widens, the sleeve is stretched and thins."""
    tight = cell_of(margins_by_id(case_of(CUPS))["joint_opens"], "cups")
    assert 0.1 < tight.demand.value / tight.capacity.value < 1.0
    assert "flange_bears_on" in text(CUPS)
    on_sleeve = CUPS.replace('flange_bears_on = "shell"', 'flange_bears_on = "sleeve"')
    loose = cell_of(margins_by_id(case_of(on_sleeve))["joint_opens"], "cups")
    assert loose.demand.value < tight.demand.value
