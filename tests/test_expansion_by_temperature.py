"""Expansion by temperature: closed form, finite elements and heat plan. Cases are invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from small_cases import SLIPS_IN

from hoopwright.case.read import parse_case
from hoopwright.discretisation import BODIES, usual_resolution
from hoopwright.materials import table
from hoopwright.slipping_in import slipping_in
from hoopwright.state import frictionless, warmed
from hoopwright.study import CaseStudy

HEAT = 'method = "heat"\n[press.heat]\nshell_most = "110 degC"\nclearance = "10 um"\n'
STEEL = SLIPS_IN.replace(HEAT, "").replace('"6061-T6"', '"1025 steel"')


@pytest.mark.parametrize(
    ("degrees", "expected"),
    # 1025 between 70 °F and 175, 238 and 319 °F, MIL-HDBK-5J, seen in a transcription
    [(-10, 10.8e-6), (20, 10.8e-6), (79.4, 10.8e-6), (114.4, 11.5e-6), (159.4, 12.1e-6), (190, 12.1e-6)],
)
def test_1025_expands_by_what_is_published_up_to_the_temperature_asked(degrees, expected):
    assert table()["1025 steel"].mean_expansion(degrees - 20.0) == pytest.approx(expected, rel=1e-9)


def test_expansion_between_two_temperatures_is_that_of_the_strains():
    metal = table()["1025 steel"]
    assert metal.mean_expansion(139.4, 59.4) == pytest.approx((139.4 * 12.1 - 59.4 * 10.8) / 80.0 * 1e-6)
    assert metal.mean_expansion(30.0, 30.0) == metal.expansion


@pytest.mark.parametrize("rise", [-30.0, 139.4])
def test_a_fit_at_a_temperature_is_that_of_a_metal_with_the_mean_expansion_up_to_it(rise):
    """Frictionless, and at the end of a path that went there and back."""
    found = []
    case = parse_case(STEEL)
    metal = case.shell_material
    for one in (metal, replace(metal, expansions=None, expansion=metal.mean_expansion(rise))):
        changed = replace(case, shell_material=one)
        study = CaseStudy(changed, usual_resolution(changed))
        fits = [study.at(frictionless(0.0, rise)), study.at(warmed(changed, 0.0, (rise,))[-1])]
        found.append(
            [
                value
                for fit in (fit.coarsest for fit in fits)
                for value in (
                    fit.normal_force,
                    *(fit.equivalent_peak(body).value for body in BODIES),
                    *(float(fit.walls[body].inner[:, 1].max()) for body in BODIES),
                    float(fit.outside_growth(np.array([8.0]))[0]),
                    float(fit.face_hoop("shell.bore")[1].max()),
                )
            ]
        )
    assert found[0] == pytest.approx(found[1], rel=1e-8)


def test_the_shell_is_heated_as_its_expansion_up_to_there_asks():
    hot = SLIPS_IN.replace('"6061-T6"', '"1025 steel"').replace("110 degC", "190 degC")
    case = parse_case(hot)
    ways = slipping_in(case)
    rise = ways.shell_rise_for(0.01, 0.0, ways.half_width)
    assert 59.4 < rise < 139.4
    gap, at = ways.tightest(rise, 0.0, ways.half_width)
    assert gap == pytest.approx(0.01, abs=1e-6)
    grown = case.shell_material.mean_expansion(rise) * rise
    assert at.bore * grown == pytest.approx(0.01 + at.interference + ways.half_width, rel=1e-4)
