"""Retaining compound is credited land by land, is never taken to rub more than dry, and is shown."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from math import inf

import numpy as np
import pytest
from cells import Rows
from plain_pair import plain_pair

from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.compound import (
    credited_shear_at,
    holding_friction,
    land_credits,
    uncredited_shear_max,
)
from hoopwright.checks.joint_slips import ShearCapacity
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.fem import Resolution
from hoopwright.record.pages.fit import fit as fit_pages
from hoopwright.study import CaseStudy

TWO_LANDS = plain_pair(
    shell="""bore_diameter = "41 mm"
bore_plus_minus = "2 um"
FORM""",
    sleeve="""[[sleeve.outside]]
from = "0 mm"
to = "30 mm"
diameter = "41.045 mm"
plus_minus = "2 um"
[[sleeve.outside]]
from = "30 mm"
to = "60 mm"
diameter = "41.008 mm"
plus_minus = "2 um"
""",
    more="""torque = "20 N*m"
[temperatures]
use_least = "15 degC"
use_most = "25 degC"
""",
)
COMPOUND = """
[compound]
shear_strength = "10 MPa"
credit = 0.5
combination = "HOW"
gap_least = "LEAST"
gap_most = "MOST"
temperature_least = "-40 degC"
temperature_most = "150 degC"
full_cure = "72 h"
cure_least = "15 degC"
cured_for = "96 h"
FRICTION
"""
HALF_SEAT = np.pi * 41.0 * 30.0
"""Area of either land, mm²."""


def compound(gap_min="-0.1 mm", gap_max="0.1 mm", *, how="added", friction=""):
    stated = f"friction_low = {friction}" if friction else ""
    text = COMPOUND.replace("HOW", how).replace("LEAST", gap_min).replace("MOST", gap_max)
    return text.replace("FRICTION", stated)


@cache
def evidence(more="", form=""):
    case = parse_case(TWO_LANDS.replace("FORM", form) + more)
    return evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))


@cache
def rows(more="", form=""):
    return Rows(evidence(more, form))


def shears(more, form=""):
    return [credit.shear for credit in land_credits(evidence(more, form))]


def held(more=""):
    return rows(more)["pushed_out"].capacity.value


def test_both_lands_outside_the_stated_gap_are_not_credited_though_their_mean_lies_in_it():
    """45 and 8 µm, 26.5 in the mean: the whole seat was credited for a gap of −35 to −20 µm."""
    stated = compound("-0.035 mm", "-0.02 mm")
    assert shears(stated) == [0.0, 0.0]
    assert held(stated) == pytest.approx(held(), rel=1e-9)
    assert "not credited: the fit there lies outside the gap" in rows(stated)["pushed_out"].note


def test_a_land_within_the_stated_gap_is_credited_by_itself():
    stated = compound("-0.03 mm", "0.1 mm")
    assert shears(stated) == [0.0, 5.0]
    assert held(stated) - held() == pytest.approx(5.0 * HALF_SEAT, rel=1e-3)
    torque = rows(stated)["turned"].capacity.value - rows()["turned"].capacity.value
    assert torque == pytest.approx(1e-3 * 5.0 * HALF_SEAT * 20.5, rel=1e-3)
    assert "on seat 1" in rows(stated)["pushed_out"].note


def test_a_land_without_credit_carries_its_friction_alone():
    """Instead of friction: film on one land, friction on the other, which holds nearly all by itself."""
    tight, loose = (
        held(compound(*gap, how="instead")) for gap in (("-0.1 mm", "-0.03 mm"), ("-0.03 mm", "0 mm"))
    )
    film = 5.0 * HALF_SEAT
    assert tight < film + 0.2 * held()
    assert film + 0.7 * held() < loose < film + held()


def test_a_weak_film_instead_of_friction_holds_no_more_where_it_is_not_credited():
    """0.2 MPa where friction carries about 1: a land out of the stated gap must not hold more for it."""
    weak = '"10 MPa"', '"0.4 MPa"'
    credited, refused = (
        compound(gap, how="instead", friction="0.1").replace(*weak) for gap in ("-0.1 mm", "0.05 mm")
    )
    assert (shears(credited), shears(refused)) == ([0.2, 0.2], [0.0, 0.0])
    assert held(credited) < held()
    for name in ("pushed_out", "turned"):
        assert rows(refused)[name].capacity.value <= rows(credited)[name].capacity.value * (1.0 + 1e-9)
    bounded = ShearCapacity(0.1, 0.0, "instead", 0.2)
    assert bounded.of(np.array([1.0, 5.0])) == pytest.approx([0.1, 0.2])


@pytest.mark.parametrize(
    ("how", "credit", "bound"),
    [("added", 0.5, inf), ("greater", 0.5, inf), ("instead", 0.0, inf), ("instead", 0.5, 5.0)],
)
def test_friction_is_bounded_by_a_film_only_where_a_credited_one_takes_its_place(how, credit, bound):
    stated = evidence(compound()).case.compound
    assert uncredited_shear_max(replace(stated, combination=how, credit=credit)) == bound


@pytest.mark.parametrize("how", ["added", "greater", "instead"])
def test_a_whole_seat_within_the_gap_holds_as_before(how):
    film = 10.0 * HALF_SEAT
    expected = {"added": held() + film, "greater": max(held(), film), "instead": film}[how]
    assert held(compound(how=how)) == pytest.approx(expected, rel=1e-3)


def test_ovality_takes_a_land_out_of_its_gap():
    """45 ± 2.7 µm lies within 50; 20 µm of ovality bring it to 57 at the worst angle."""
    plain, oval = (
        shears(compound("-0.05 mm", "0.1 mm"), form)
        for form in ("", '[shell.out_of_round]\novality = "20 um"\n')
    )
    assert plain == [5.0, 5.0]
    assert oval == [0.0, 5.0]


@pytest.mark.parametrize("stated", ["0.05", "0.10", "0.30"])
def test_compound_on_the_seat_never_rubs_more_than_dry(stated):
    """A weak anaerobic compound under high pressure ends below the dry joint (Castagnetti, Dragoni et al.,
    Int. J. Adhes. Adhes. 2014, seen in abstract); one that would rub more is not believed, and it is
    said."""
    more = compound("0.2 mm", "0.3 mm", friction=stated)
    used = min(0.10, float(stated))
    assert holding_friction(evidence(more).case) == used
    assert held(more) <= held() * (1.0 + 1e-9)
    assert ("above [fit] friction_low" in rows(more)["pushed_out"].note) == (float(stated) > 0.10)


def test_a_weak_film_on_the_tightest_land_leaves_the_fit_in_doubt():
    """Dry friction: 0.1 × 10 MPa on the tight land, 0.1 × 5 in the mean; a film of 0.8 lies between."""
    weak = compound().replace('"10 MPa"', '"0.8 MPa"')
    pressures = evidence(weak).study.nominal.finest.pressure_by_seat
    assert 0.1 * pressures.mean() < 0.8 < 0.1 * pressures.max()
    assert rows(weak)["pushed_out"].state == "unresolved"
    assert "may weaken the fit" in rows(weak)["pushed_out"].doubt


def test_local_slip_meets_the_film_of_its_own_land():
    found = evidence(compound("-0.03 mm", "0.1 mm"))
    shear = credited_shear_at(found, np.array([0.0, 29.0, 30.0, 31.0, 60.0]))
    assert shear.tolist() == [0.0, 0.0, 0.0, 5.0, 5.0]
    assert credited_shear_at(found, np.array([-1.0, 61.0])).tolist() == [0.0, 0.0]  # there is no seat


@pytest.mark.parametrize(
    ("gap", "shown"),
    [
        ("-0.03 mm", ["z 30.0 to 60.0 mm", "5.0 MPa added to friction", "not credited, the fit there"]),
        ("-0.1 mm", ["5.0 MPa added to friction", "friction for holding 0.1 (dry 0.1)"]),
    ],
)
def test_check_shows_what_each_land_is_credited_with(gap, shown, tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(TWO_LANDS.replace("FORM", "") + compound(gap), encoding="utf-8")
    main(["check", str(path)])
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    said = " ".join(out.split())
    assert "retaining compound z 0.0 to 30.0 mm (gap" in said
    for words in shown:
        assert words in said


@pytest.mark.slow
def test_the_record_shows_what_each_land_is_credited_with(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(TWO_LANDS.replace("FORM", "") + compound("-0.03 mm"), encoding="utf-8")
    main(["record", str(path), "--out", str(tmp_path)])
    capsys.readouterr()
    found = json.loads(next(tmp_path.rglob("results.json")).read_text(encoding="utf-8"))
    assert [land["credited_MPa"] for land in found["compound"]["lands"]] == [0.0, 5.0]
    said = str(fit_pages(found, Units()))
    assert "5.0 MPa added to friction" in said
    assert "not credited, the fit there lies outside the gap" in said


SLIPPED = '[press]\nmethod = "heat"\n[press.heat]\nshell_most = "HOT"\nsleeve_cold = "COLD"\n'


@pytest.mark.parametrize(
    ("hot", "cold", "said"),
    [
        ("150 degC", "-40 degC", ""),
        ("160 degC", "20 degC", "it meets a shell at 160.0 °C (320.0 °F)"),
        ("100 degC", "-80 degC", "it meets a sleeve at -80.0 °C (-112.0 °F)"),
    ],
)
def test_a_compound_that_meets_hotter_or_colder_metal_as_it_slips_in_is_not_credited(hot, cold, said):
    """Stated for -40 to 150 °C, it was credited in full after a shell at any heat."""
    text = TWO_LANDS.replace("FORM", "") + COMPOUND.replace("HOW", "added").replace("LEAST", "-0.1 mm")
    text = text.replace("FRICTION", "").replace("MOST", "0.1 mm") + SLIPPED.replace("HOT", hot).replace(
        "COLD", cold
    )
    case = parse_case(text)
    found = land_credits(evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=1))))
    refusals = {reason for credit in found for reason in credit.refusals}
    assert all(bool(credit.shear) is (not said) for credit in found)
    assert bool(refusals) is bool(said)
    assert all(said in reason and "as it slips in" in reason for reason in refusals)
