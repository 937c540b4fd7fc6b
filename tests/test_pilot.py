"""A pusher that pilots in the sleeve's bore: the bore must not close on it before it is out again."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from cells import cell_of, stages_of
from independent_sleeve import Body, Pair, Rectangle, Seat

from hoopwright.case.faults import CaseError
from hoopwright.case.press_model import Pilot
from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence
from hoopwright.checks.bore_closure import bore_closure
from hoopwright.checks.margin import Margin
from hoopwright.fem import Resolution
from hoopwright.pilot import narrowest
from hoopwright.record.case_inputs import settings_part
from hoopwright.state import being_pushed, frictionless, let_go, pushing_frictions
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS

TEXT = """
title = "plain pair and a pusher, invented"
[shell]
material = "6061-T6"
width = "40 mm"
outside_diameter = "44 mm"
bore_diameter = "39 mm"
[sleeve]
material = "1025 steel"
length = "40 mm"
outside_diameter = "39.04 mm"
most_bore_closure = "30 um"
BORE
[fit]
friction_low = 0.1
friction_high = 0.2
[press]
enters_from = "left"
PILOT
[mesh]
elements_through_wall = 1
"""
PLAIN = 'bore_diameter = "35 mm"'


def case_with(pilot: str, *, bore: str = PLAIN, end: str = "left"):
    return parse_case(TEXT.replace("PILOT", pilot).replace("BORE", bore).replace('"left"', f'"{end}"'))


@cache
def row(pilot: str, **more: str) -> tuple[Evidence, Margin]:
    case = case_with(pilot, **more)
    evidence = Evidence(case, CaseStudy(case, Resolution(elements_through_wall=1)), 0.0, 0.0)
    return evidence, bore_closure(evidence)


THROUGH = 'pilot_diameter = "34.97 mm"'
SHORT = THROUGH + '\npilot_length = "5 mm"'


def test_without_a_pilot_nothing_is_judged_entering():
    assert stages_of(row("")[1]) == ["pressed"]


def test_a_pilot_right_through_meets_the_end_that_goes_in_first():
    """A short engagement closes the free end of the sleeve by nearly twice what the whole seat does. Held
    against a model that shares neither code nor method."""
    evidence, found = row(THROUGH)
    cell, home = cell_of(found, "entering"), cell_of(found, "pressed")
    assert cell.capacity.value == pytest.approx(30.0)
    assert cell.demand.value > 1.5 * home.demand.value
    engaged = cell.when.travel
    assert cell.where.z == pytest.approx(engaged)
    sleeve, shell = evidence.case.sleeve_material, evidence.case.shell_material
    inner, seat, outside, length = 17.5, 19.5, 22.0, 40.0
    turned = Rectangle(inner, seat, engaged - length, engaged)
    bored = Rectangle(seat, outside, 0.0, length)
    pair = Pair(
        Body((turned,), sleeve.young_modulus, sleeve.poisson_ratio, (0.0,), 2.0),
        Body((bored,), shell.young_modulus, shell.poisson_ratio, (engaged,), 2.0),
        (Seat(seat, 0.0, engaged, 0.02),),
    )
    moved = pair.sliding(0.1, loaded="left", held="right").moved["sleeve"]
    basis = pair.sleeve.basis
    at_bore = np.abs(basis.mesh.p[0] - inner) < 1e-9
    closes = -2e3 * moved[basis.nodal_dofs[0]][at_bore].min()
    assert cell.demand.value == pytest.approx(closes, rel=0.01)


@pytest.mark.slow
def test_a_short_pilot_stays_in_the_end_that_is_pushed():
    evidence, found = row(SHORT)
    cell = cell_of(found, "entering")
    assert -1e-6 <= cell.where.z <= 5.0 + 1e-6
    assert cell.demand.value < 0.7 * cell_of(row(THROUGH)[1], "entering").demand.value
    states = (
        *let_go(evidence.case, 0.0),
        *(being_pushed(evidence.case, 0.0, mu) for mu in pushing_frictions(evidence.case)),
    )
    fits = [evidence.study.at(state).finest for state in states]
    at_home = max(float(fit.bore_closure(np.linspace(0.0, 5.0, 11)).max()) for fit in fits)
    assert cell.demand.value == pytest.approx(1e3 * at_home, rel=0.01)


def home(pilot: str, **more: str):
    """Where the pilot has the least left in the sleeve at home, without friction."""
    case = case_with(pilot, **more)
    study = CaseStudy(case, Resolution(elements_through_wall=1))
    return narrowest(case, study.at(frictionless(0.0, 0.0)).coarsest)


def test_the_end_that_is_pushed_is_the_one_it_enters_from():
    assert home(SHORT).z <= 5.0 + 1e-6
    assert home(SHORT, end="right").z >= 35.0 - 1e-6


def tighter() -> tuple[Evidence, Margin]:
    """A pilot that the bore closes on, in the fits of one that it does not."""
    evidence, _ = row(THROUGH)
    evidence = replace(evidence, case=case_with('pilot_diameter = "34.985 mm"'))
    return evidence, bore_closure(evidence)


def test_a_pilot_that_the_bore_closes_on_fails_with_the_size_it_may_have():
    cell = cell_of(tighter()[1], "entering")
    assert (tighter()[1].state, tighter()[1].stage, cell.state) == ("fails", "entering", "fails")
    assert cell.demand.value == cell_of(row(THROUGH)[1], "entering").demand.value
    assert "turn it to less than 34.980 mm" in cell.note
    assert cell_of(row(THROUGH)[1], "entering").state == "holds"
    assert cell_of(row(THROUGH)[1], "entering").note == ""


def test_the_working_of_a_pilot_leads_to_its_limit():
    evidence, found = tighter()
    working = WORKINGS["bore_closure"](evidence, found)
    assert working.value("D_p") == pytest.approx(35.0)
    assert working.value("limit") == pytest.approx(15.0)


STEPPED = """
[[sleeve.bore]]
from = "0 mm"
to = "10 mm"
diameter = "36 mm"
[[sleeve.bore]]
from = "10 mm"
to = "40 mm"
thread = "1.37 in x 24 right"
"""


def test_a_pilot_stands_within_the_crests_of_a_thread_and_reaches_as_far_as_it_does():
    """1.37 in x 24: 34.798 mm over the roots, 33.652 mm within the crests."""
    short = home('pilot_diameter = "35.95 mm"\npilot_length = "9 mm"', bore=STEPPED)
    assert (short.gap, short.bore) == (pytest.approx(0.05), 36.0)
    through = home('pilot_diameter = "33.6 mm"', bore=STEPPED)
    assert through.gap == pytest.approx(0.052, abs=0.001)


@pytest.mark.parametrize(
    ("pilot", "bore", "said"),
    [
        ('pilot_diameter = "35 mm"', PLAIN, "a pilot of 35 mm does not go into a bore of 35 mm"),
        ('pilot_diameter = "35.9 mm"', STEPPED, "does not go into a bore of 33.65"),
        ('pilot_diameter = "0 mm"', PLAIN, "pilot_diameter"),
    ],
)
def test_a_pilot_that_does_not_go_in_is_one_line(pilot, bore, said):
    with pytest.raises(CaseError) as caught:
        case_with(pilot, bore=bore)
    (fault,) = caught.value.faults
    assert (fault.table, fault.key) == ("[press]", "pilot_diameter")
    assert said in str(caught.value)


def test_a_pilot_is_in_the_record_as_it_was_given_and_idle_where_nothing_is_pushed():
    settings = settings_part(case_with(SHORT))
    assert settings["press_pilot_diameter_mm"] == pytest.approx(34.97)
    assert settings["press_pilot_length_mm"] == 5.0
    assert settings_part(case_with(""))["press_pilot_diameter_mm"] is None
    assert case_with(THROUGH).press.pilot == Pilot(pytest.approx(34.97), None)
    lone = case_with('pilot_length = "5 mm"')
    assert [one.key for one in lone.without_effect] == ["pilot_length"]
    heat = 'method = "heat"\n[press.heat]\nshell_most = "150 degC"\n'
    slips = case_with(THROUGH + "\n" + heat)
    assert "pilot_diameter" in {one.key for one in slips.without_effect}


def of_bore(plus_minus: str, bore: str = PLAIN) -> Margin:
    """The row of a pilot in a bore with a ±, in the fits of one without."""
    evidence, _ = row(THROUGH)
    text = TEXT.replace("PILOT", THROUGH).replace("BORE", bore)
    case = parse_case(text + f'[drawing.sleeve]\nbore_plus_minus = "{plus_minus}"\n')
    return bore_closure(replace(evidence, case=case))


def test_what_a_pilot_leaves_counts_from_the_least_bore():
    """30 µm in a bore of ± 0.02 mm were judged as 30 µm, and held."""
    exact = cell_of(row(THROUGH)[1], "entering")
    cell = cell_of(of_bore("0.02 mm"), "entering")
    assert (exact.state, cell.state) == ("holds", "fails")
    assert cell.capacity.value == pytest.approx(10.0)
    assert cell.demand.value == exact.demand.value
    assert "plain bores 20.0 µm" in cell.basis
    assert "turn it to less than 34.960 mm" in cell.note


def test_a_pilot_that_the_least_bore_does_not_let_in_fails_and_says_so():
    cell = cell_of(of_bore("0.1 mm"), "entering")
    assert cell.capacity.value == pytest.approx(-70.0)
    assert cell.state == "fails"
    assert "the least bore does not let the pilot in" in cell.note


def test_a_pilot_passes_a_thread_by_its_least_minor_diameter():
    own = """
[[sleeve.bore]]
from = "0 mm"
to = "40 mm"
[sleeve.bore.thread]
major = "34.80 mm"
pitch = "24 tpi"
minor = "33.70 mm"
hand = "right"
[sleeve.bore.thread.limits]
pitch = ["34.11 mm", "34.28 mm"]
minor = ["33.65 mm", "33.89 mm"]
cup_pitch = ["33.95 mm", "34.08 mm"]
cup_major = ["34.59 mm", "34.77 mm"]
"""
    assert home('pilot_diameter = "33.6 mm"', bore=own).gap == pytest.approx(0.05)
