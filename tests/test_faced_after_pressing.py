"""A sleeve that stands proud and is faced flush with the shell after pressing: it enters and is pressed as
the one, and used as the other. Invented sizes."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from cup_cases import cups, threaded
from drawing_cases import GAUGE, plan_of
from page_benches import bench
from small_cases import PARTS

from hoopwright.case.faults import CaseError
from hoopwright.case.heat_capacity import volume_and_lengthwise_area
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of, judged
from hoopwright.checks.thread_strips import sleeve_thread_strips
from hoopwright.display import Units
from hoopwright.drawing.files import Drawing
from hoopwright.drawing.layout import FACED as FACED_SAID
from hoopwright.drawing.layout import _said
from hoopwright.drawing.profile import sleeve_profile
from hoopwright.fem import Resolution
from hoopwright.geometry import BoreZone, Shell, Sleeve, cylinder
from hoopwright.geometry.facing import faced_flush, proud_ends
from hoopwright.geometry.land import Land
from hoopwright.geometry.sleeve import Facing
from hoopwright.page.figures.place import place_figure
from hoopwright.page.section import section_of
from hoopwright.pressing.proof import _stressed
from hoopwright.record.case_inputs import bodies_part, materials_part
from hoopwright.record.pages.bodies import bodies
from hoopwright.shop_sheet.as_made import facing
from hoopwright.slipping_in import slipping_in
from hoopwright.state import frictionless, let_go, pressed
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS

SHELL = Shell(20.0, (cylinder(0, 20, 62),), (cylinder(0, 20, 42),))
COARSE = Resolution(elements_through_wall=2, at_contact_end=0.02, growth=1.0)
FACED, STAYS = 'proud = "faced"\n', 'proud = "stays"\n'


# ---- what is cut off --------------------------------------------------------------------------------

PROUD = Sleeve(
    -3.0,
    22.1,
    (Land(-3.0, 7.0, 42.02, 42.04, 0.002), cylinder(7.0, 22.1, 42.05)),
    (BoreZone(-3.0, 5.0, 36.0, blank=34.0), BoreZone(5.0, 22.1, 35.0)),
    chamfer_left=1.0,
    chamfer_right=2.5,
    chamfer_left_angle=15.0,
    chamfer_right_angle=20.0,
)


def test_lands_zones_and_chamfers_are_cut_at_the_faces_of_the_shell():
    found = faced_flush(SHELL, PROUD)
    assert (found.z_start, found.z_end, found.length) == (0.0, 20.0, 20.0)
    first, second = found.outside
    assert (first.z_start, first.z_end, first.diameter_end, first.plus_minus) == (0.0, 7.0, 42.04, 0.002)
    assert first.diameter_start == pytest.approx(42.026)
    assert second == cylinder(7.0, 20.0, 42.05)
    assert [(zone.z_start, zone.z_end) for zone in found.bore] == [(0.0, 5.0), (5.0, 20.0)]
    assert (found.chamfer_left, found.chamfer_left_angle) == (0.0, None)
    assert found.chamfer_right == pytest.approx(0.4)
    assert found.chamfer_right_angle == 20.0


def test_with_what_is_faced_off_it_is_as_it_was_given():
    found = faced_flush(SHELL, PROUD)
    whole = found.unfaced
    first, given = whole.outside[0], PROUD.outside[0]
    assert first.diameter_start == pytest.approx(given.diameter_start, abs=1e-12)
    assert replace(whole, outside=(given, *whole.outside[1:])) == PROUD
    assert found.finished_later
    assert found.blank == replace(whole, bore=(BoreZone(-3.0, 5.0, 34.0), BoreZone(5.0, 22.1, 35.0)))
    assert PROUD.unfaced is PROUD
    assert found.blank.unfaced == found.blank


def test_a_larger_outside_is_larger_on_what_is_faced_off_too():
    found = faced_flush(SHELL, PROUD)
    larger = replace(found, outside=(found.outside[0], cylinder(7.0, 20.0, 42.06)))
    assert larger.blank.outside[-1] == cylinder(7.0, 22.1, 42.06)


def test_an_end_that_is_not_proud_and_a_flange_are_left():
    short = replace(
        PROUD, z_end=18.0, outside=(cylinder(-3.0, 18.0, 42.04),), bore=(BoreZone(-3.0, 18.0, 34.0),)
    )
    assert faced_flush(SHELL, short).faced_right is None
    flanged = replace(short, stop="left flange", flange_diameter=50.0, flange_thickness=3.0)
    assert proud_ends(SHELL, flanged) == ()
    assert faced_flush(SHELL, flanged) == flanged


# ---- the case -------------------------------------------------------------------------------------


def pushed(
    start: float, length: float, more: str = "", *, enters_from: str = "left", tables: str = ""
) -> str:
    """The small boss with its sleeve pushed in; more: lines of [sleeve]; tables: below them."""
    sleeve = f'start = "{start:g} mm"\nlength = "{length:g} mm"\n{more}'
    return f"""title = "Small boss, pushed in"
{PARTS.replace('length = "16 mm"', sleeve).replace("[fit]", tables + "[fit]")}[press]
capacity = "60 kN"
enters_from = "{enters_from}"
[demand]
axial_force = "1 kN"
[temperatures]
use_least = "-5 degC"
use_most = "40 degC"
[service]
none = "held by a bolt"
"""


@cache
def evidence(text: str):
    case = parse_case(text)
    return evidence_of(case, CaseStudy(case, COARSE))


@cache
def cells(text: str):
    return {(c.id, c.stage): c for row in judged(evidence(text)) for c in row.cells}


ONE_END, FLUSH = pushed(-2, 18, FACED), pushed(0, 16)


def test_the_finished_sleeve_has_exactly_the_fit_of_one_pressed_in_flush():
    """Without friction: the same sleeve, the same mesh, the same pressure."""
    faced, flush = evidence(ONE_END).study, evidence(FLUSH).study
    assert replace(faced.case.sleeve, faced_left=None) == flush.case.sleeve
    assert faced.case.sleeve.faced_left == Facing(2.0)
    assert faced.joint == flush.joint
    for rise in (0.0, 20.0):
        one, other = (study.at(frictionless(0.0, rise)).finest.press.pressure for study in (faced, flush))
        np.testing.assert_array_equal(one, other)
    assert pressed(faced.case, 0.0) == (*let_go(faced.case, 0.0, blank=True), *let_go(faced.case, 0.0))


def test_it_enters_as_one_that_stays_proud_and_is_pressed_as_both():
    faced, stays, flush = cells(ONE_END), cells(pushed(-2, 18, STAYS)), cells(FLUSH)
    for (row, stage), cell in faced.items():
        if stage == "entering":
            assert cell.margin == stays[row, stage].margin, row
            assert abs(cell.margin / flush[row, stage].margin - 1.0) > 5e-3, row
    for row in ("shell_yields", "sleeve_yields", "sleeve_buckles"):
        worse = min(one[row, "pressed"].margin for one in (stays, flush))
        assert faced[row, "pressed"].margin == pytest.approx(worse, rel=1e-9), row
        assert faced[row, "pressed"].when.blank
    assert faced["pushed_out", "pressed"].margin == pytest.approx(flush["pushed_out", "pressed"].margin)
    assert faced["pushed_out", "pressed"].margin < stays["pushed_out", "pressed"].margin - 0.02


def test_in_use_it_is_the_sleeve_faced_flush():
    """Within what friction keeps of the proud end; the proud sleeve itself is beyond that."""
    faced, stays, flush = cells(ONE_END), cells(pushed(-2, 18, STAYS)), cells(FLUSH)
    for row in ("pushed_out", "stays_tight", "sleeve_yields", "shell_yields"):
        cell = faced[row, "in use"]
        assert not cell.when.blank
        assert cell.margin == pytest.approx(flush[row, "in use"].margin, rel=0.02), row
    differs = abs(stays["pushed_out", "in use"].margin / flush["pushed_out", "in use"].margin - 1.0)
    assert differs > 0.02


def test_friction_keeps_what_it_held_while_the_end_is_faced():
    """The seat goes on from where the blank left it: by Coulomb's law, in balance, and not as one that was
    pressed in flush."""
    study, flush = evidence(ONE_END).study, evidence(FLUSH).study
    for state in let_go(study.case, 0.0)[1:]:
        seat, other = (one.at(state).coarsest.mesh.moment(0.0, state.path).state for one in (study, flush))
        held = state.path.friction * seat.normal
        assert np.all(np.abs(seat.along) <= held + 1e-6 * held.max())
        assert abs(seat.along.sum()) < 1e-6 * held.sum()
        assert seat.normal.sum() == pytest.approx(other.normal.sum(), rel=5e-3)
        assert np.max(np.abs(seat.along - other.along)) > 1e-3 * held.max()


def test_what_is_proved_is_the_finished_sleeve():
    """What a push adds to its stress is as on one pressed in flush, but for what friction kept; against the
    blank being pushed it was nothing for the sleeve and a third of it for the shell."""
    added = []
    for text in (ONE_END, FLUSH):
        stressed = _stressed(evidence(text), {row.id: row for row in judged(evidence(text))})
        assert stressed is not None
        added.append([1e6 * one.rise / one.fit for one in stressed])
    assert added[0] == pytest.approx(added[1], rel=0.08)


def test_the_left_end_is_as_the_right_one():
    left, right = cells(ONE_END), cells(pushed(0, 18, FACED, enters_from="right"))
    assert left.keys() == right.keys()
    for key, cell in left.items():
        assert right[key].margin == pytest.approx(cell.margin, rel=1e-4), key


def test_it_goes_in_by_the_chamfer_of_the_end_that_is_faced_off():
    """The longer chamfer leads, though nothing is left of it."""
    text = pushed(-2, 18, FACED + 'chamfer_left = "1.5 mm"\nchamfer_right = "1 mm"\n')
    case = parse_case(text.replace('enters_from = "left"\n', ""))
    assert evidence_of(case, CaseStudy(case, COARSE)).study.way_in.end == "right"
    assert (case.sleeve.chamfer_left, case.sleeve.chamfer_right) == (0.0, 1.0)


def test_it_may_be_bored_after_pressing_as_well():
    case = parse_case(pushed(-2, 20, FACED + 'bored_after = "36 mm"\n'))
    assert (case.sleeve.length, case.sleeve.bore[0].diameter) == (16.0, 36.0)
    assert (case.sleeve.blank.length, case.sleeve.blank.bore[0].diameter) == (20.0, 34.0)
    study = CaseStudy(case, COARSE)
    assert {s.inner_start for s in study.blank_joint.sleeve} == {17.0}
    assert {s.inner_start for s in study.joint.sleeve} == {18.0}
    assert study.blank_joint.ends == (-2.0, 18.0)


CUPS = cups("left", bears_on="shell", diameter="50 mm", torque="5 N*m")


def cupped(start: float, more: str, *, engaged: float = 12) -> str:
    text = threaded(pushed(start, 16 - start, more, tables=CUPS), start, 16)
    return text.replace('torque = "5 N*m"', f'torque = "5 N*m"\nengaged_length = "{engaged:g} mm"')


def test_a_cup_has_the_shells_face_and_the_thread_that_is_left():
    faced, flush = (
        sleeve_thread_strips(evidence(text)).margin for text in (cupped(-2, FACED), cupped(0, ""))
    )
    assert faced == pytest.approx(flush, rel=1e-3)  # but for what friction kept of the blank
    with pytest.raises(CaseError, match="longer than the thread there, 16 mm"):
        parse_case(cupped(-2, FACED, engaged=17))
    with pytest.raises(CaseError, match="stands 2 mm proud"):
        parse_case(cupped(-2, STAYS))


LANDS = """[[sleeve.outside]]
from = "-2 mm"
to = "SPLIT mm"
diameter = "41.9 mm"
[[sleeve.outside]]
from = "SPLIT mm"
to = "16 mm"
diameter = "42.04 mm"
"""
ZONES = LANDS.replace("outside", "bore").replace("41.9", "34").replace("42.04", "35")
SINGLE = 'outside_diameter = "42.040 mm"\noutside_plus_minus = "4 um"\n'
BORE = 'bore_diameter = "34 mm"\n'


def with_stretches(tables: str, instead_of: str, split: str) -> str:
    text = pushed(-2, 18, FACED, tables=tables.replace("SPLIT", split))
    assert instead_of in text
    return text.replace(instead_of, "")


@pytest.mark.parametrize(
    ("tables", "instead_of", "key", "name"),
    [(LANDS, SINGLE, "outside", "land"), (ZONES, BORE, "bore", "zone")],
)
def test_every_land_and_zone_must_reach_into_the_shell(tables, instead_of, key, name):
    with pytest.raises(CaseError) as raised:
        parse_case(with_stretches(tables, instead_of, "0"))
    (fault,) = map(str, raised.value.faults)
    assert f"[sleeve] {key}: {name} 1 lies wholly beyond the shell's left face" in fault
    assert f"let the {name} next to it reach to -2 mm" in fault
    parse_case(with_stretches(tables, instead_of, "1"))


def test_chamfers_that_leave_nothing_of_what_is_left_are_a_fault():
    text = pushed(-2, 18, FACED + 'chamfer_left = "9 mm"\nchamfer_right = "9 mm"\n')
    with pytest.raises(CaseError, match="the chamfers leave nothing of the 18 mm"):
        parse_case(text)
    short = pushed(-2, 18, FACED).replace('width = "16 mm"', 'width = "0.5 mm"')
    with pytest.raises(CaseError, match="longer than its zone"):
        parse_case(threaded(short, -2, 16))


def test_facing_without_a_proud_end_is_named():
    idle, meant = parse_case(pushed(0, 16, FACED)), parse_case(ONE_END)
    assert [str(one) for one in idle.without_effect] == [
        "[sleeve] proud changes nothing here: it needs a sleeve that reaches beyond the shell"
    ]
    assert idle.sleeve == parse_case(FLUSH).sleeve
    assert meant.without_effect == ()


# ---- what is said of it -----------------------------------------------------------------------------


def test_record_and_sheet_tell_what_comes_off():
    case = parse_case(pushed(-2, 20, FACED + 'chamfer_left = "1.5 mm"\n'))
    document = {"bodies": bodies_part(case), "materials": materials_part(case)}
    part = document["bodies"]["sleeve"]
    assert (part["proud"], part["length_mm"], part["faced_left_mm"], part["faced_right_mm"]) == (
        "faced",
        16.0,
        2.0,
        2.0,
    )
    assert part["chamfer_left_mm"] == 1.5
    shown = repr(bodies(document, Units("metric")))
    assert "left 2.000 mm, right 2.000 mm; 20.000 mm long as pressed" in shown
    told = "face the left end, it stands 2.000 mm proud; face the right end, it stands 2.000 mm proud"
    assert told in facing(case, Units("metric"))
    kept = facing(parse_case(pushed(-2, 20, STAYS)), Units("metric"))
    assert kept == (
        "Do not face the left end (stands 2.000 mm proud) or the right end (stands 2.000 mm proud)."
    )


def test_the_drawing_is_of_the_sleeve_as_it_is_turned():
    text = pushed(-2, 20, FACED + 'chamfer_left = "1.5 mm"\n') + GAUGE
    content = Drawing.of_plan(plan_of(parse_case(text)), Units("metric")).content
    assert [one.plotted for one in content.of("sleeve", "length")] == [20.0]
    assert [one.plotted for one in content.of("sleeve", "chamfer")] == [1.5]
    assert sleeve_profile(content).ends == (-2.0, 18.0)
    said = " ".join(_said(content, Units("metric")))
    assert "the sleeve's left end is 2 mm outside the left face" in said
    assert FACED_SAID in said
    stays = Drawing.of_plan(plan_of(parse_case(pushed(-2, 20, STAYS) + GAUGE)), Units("metric")).content
    assert FACED_SAID not in " ".join(_said(stays, Units("metric")))


def test_a_taper_is_turned_to_its_mean_over_the_whole_land():
    """42.02 to 42.056 mm over 18 mm, of which 16 mm are left: the middle of the band lies as far from the
    mean of the whole land as the window's from the interference that the sizes give."""
    taper = """[[sleeve.outside]]
from = "-2 mm"
to = "16 mm"
diameter_from = "42.020 mm"
diameter_to = "42.056 mm"
plus_minus = "4 um"
"""
    text = pushed(-2, 18, FACED, tables=taper).replace(SINGLE, "") + GAUGE
    case = parse_case(text)
    assert case.sleeve.outside[0].mean_diameter == pytest.approx(42.040)
    plan = plan_of(case, least_um=30.0, greatest_um=90.0)
    (band,) = plan.turn_to.bands
    change = 0.5e-3 * (30.0 + 90.0) - plan.study.nominal_interference
    assert 0.5 * (band.low + band.high) == pytest.approx(42.038 + change, abs=1e-9)


def test_the_page_shows_it_as_it_is_given_and_rows_where_they_govern():
    found = section_of(bench(ONE_END))
    assert found.ends == (-2.0, 16.0)
    case = parse_case(ONE_END)
    for z, width in ((-1.0, 18.0), (8.0, 16.0)):
        where = {"body": "sleeve", "z_mm": z, "r_mm": 17.0}
        drawn = str(place_figure(case, where, 1, "z"))
        outlines = (re.search(rf'"{body}" points="([^"]+)"', drawn)[1] for body in ("sleeve", "shell"))
        xs = [[float(x) for x in re.findall(r"([\d.]+),", outline)] for outline in outlines]
        sleeve, shell = (max(x) - min(x) for x in xs)
        assert sleeve / shell == pytest.approx(width / 16.0, rel=0.01)


def test_the_whole_of_it_goes_in_warm_and_shares_its_heat():
    case = parse_case(ONE_END)
    volume, _ = volume_and_lengthwise_area(case, "sleeve")
    assert volume == pytest.approx(0.25 * np.pi * (42.04**2 - 34.0**2) * 18.0)
    (passage,) = slipping_in(case).passages
    assert passage.turned == 42.04


@pytest.mark.slow
def test_every_row_can_be_followed_by_its_working():
    for text in (ONE_END, cupped(-2, FACED)):
        for row in judged(evidence(text)):
            if row.applies and row.margin is not None:
                WORKINGS[row.id](evidence(text), row)
