"""A sleeve that is pushed home against its flange, or against a shoulder in the bore: the fit against an
independent model, mirror images, the side it goes in from, and what the case has to say. Invented sizes."""

from __future__ import annotations

import math

import pytest
from page_benches import bench
from stopped_cases import loaded_flange, shouldered
from test_proud_sleeve import PUSHED, faults, fit_of, margins, same, sleeve_from

from hoopwright.case.heat_capacity import volume_and_lengthwise_area
from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.entry import entry_side
from hoopwright.errors import CaseError
from hoopwright.geometry import Sleeve, cylinder
from hoopwright.geometry.stop import is_stopped
from hoopwright.geometry.travel import blocking_travel
from hoopwright.page.dimensions import dimensions_of
from hoopwright.page.figures.half_section import half_section
from hoopwright.page.section import section_of
from hoopwright.record.case_inputs import bodies_part, materials_part
from hoopwright.record.pages.bodies import bodies
from hoopwright.sizing.remedies import with_longer_sleeve


def flanged_sleeve() -> Sleeve:
    """From z = −3 to 20 mm, 3 mm of it a flange of 54 mm."""
    turned = (cylinder(0.0, 20.0, 42.04),)
    bare = sleeve_from(-3.0, 20.0, stop="left flange", flange_diameter=54.0, flange_thickness=3.0)
    return Sleeve(**{**vars(bare), "outside": turned})


def test_the_fit_of_a_flanged_sleeve_agrees_with_an_independent_model():
    """As in test_proud_sleeve.py, where the bare end closes by 3.08 µm and the force is 39,588 N."""
    found = fit_of(flanged_sleeve())
    assert found["force"] == pytest.approx(39988.2, rel=1e-3)
    assert found["middle"] == pytest.approx(6.8209, rel=1e-3)
    assert found["end"] == pytest.approx(1.6573, abs=0.01)


def test_a_flange_is_part_of_the_sleeve_and_of_no_land():
    sleeve = flanged_sleeve()
    assert sleeve.neck == (0.0, 20.0)
    assert [land.mean_diameter for land in sleeve.whole_outside] == [54.0, 42.04]
    assert (sleeve.flange_end, sleeve.shoulder_end, sleeve.enters_from) == ("left", None, "left")


# ---- the case -----------------------------------------------------------------------------------

FLANGE = 'stop = "{end} flange"\nflange_diameter = "54 mm"\nflange_thickness = "3 mm"\n'


def flanged(end: str = "left", *, more: str = "", length: str = "19", was: str = PUSHED) -> str:
    """The small boss with a flange of 3 mm at one end of its sleeve, chamfered at the other."""
    other = "right" if end == "left" else "left"
    lines = FLANGE.format(end=end) + f'chamfer_{other} = "1 mm"\n{more}'
    return was.replace('length = "16 mm"\nbore', f'length = "{length} mm"\n{lines}bore')


def test_a_left_flange_begins_before_the_face_and_a_right_one_ends_beyond_it():
    left, right = (parse_case(flanged(end)).sleeve for end in ("left", "right"))
    assert (left.z_start, left.neck, left.z_end) == (-3.0, (0.0, 16.0), 16.0)
    assert (right.z_start, right.neck, right.z_end) == (0.0, (0.0, 16.0), 19.0)


@pytest.mark.parametrize(
    ("text", "key", "words"),
    [
        (flanged(more='start = "-2 mm"\n'), "start", 'write start = "-3 mm"'),
        (flanged("right", length="18"), "start", 'write start = "1 mm"'),
        (flanged(length="3"), "flange_thickness", "leaves nothing of the 3 mm"),
        (flanged().replace("54 mm", "41 mm"), "flange_diameter", "not larger than the sleeve's outside"),
        (flanged(more='chamfer_left = "1 mm"\n'), "chamfer_left", "does not lead in"),
        (flanged().replace('flange_thickness = "3 mm"\n', ""), "flange_thickness", "missing"),
        (flanged().replace("left flange", "flange"), "stop", "not a known stop"),
        (flanged(length="21"), "proud", "2 mm beyond the shell's right face"),
        (
            flanged().replace("left flange", "right shoulder"),
            "stop",
            "no shoulder at the sleeve's right end",
        ),
    ],
)
def test_a_flange_that_does_not_fit_is_one_clear_line(text, key, words):
    (found,) = faults(text)
    assert f"[sleeve] {key}" in found
    assert words in found


def test_a_flange_without_a_stop_changes_nothing_and_is_named():
    case = parse_case(PUSHED.replace("[fit]", 'flange_diameter = "50 mm"\n[fit]'))
    assert [(one.key, "flange" in one.needs) for one in case.without_effect] == [("flange_diameter", True)]
    assert case.sleeve.flange_diameter == 0.0


@pytest.mark.parametrize("end", ["left", "right"])
def test_a_flanged_sleeve_goes_in_from_the_side_of_its_flange(end):
    other = "right" if end == "left" else "left"
    case = parse_case(flanged(end))
    assert entry_side(case) == end
    assert blocking_travel(case.shell, case.sleeve, other) == 0.0
    assert is_stopped(case.shell, case.sleeve, other)
    assert not is_stopped(case.shell, case.sleeve, end)
    wrong = parse_case(flanged(end).replace("[press]", f'[press]\nenters_from = "{other}"'))
    with pytest.raises(CaseError, match=f"does not go in against its {end} flange"):
        entry_side(wrong)


def test_the_flange_holds_heat():
    volume, _ = volume_and_lengthwise_area(parse_case(flanged()), "sleeve")
    squares = 42.04**2 * 16.0 + 54.0**2 * 3.0 - 34.0**2 * 19.0
    assert volume == pytest.approx(math.pi / 4.0 * squares)


@pytest.mark.parametrize(("end", "at"), [("left", 0), ("right", -1)])
def test_the_page_shows_the_flange_and_names_its_dimensions(end, at):
    found = bench(flanged(end))
    section = section_of(found)
    rim = section.sleeve_outside[at]
    assert (rim.diameter, rim.length, rim.path) == (54.0, 3.0, "sleeve.flange_diameter")
    assert section.ends == ((-3.0, 16.0) if end == "left" else (0.0, 19.0))
    assert "flange" in [d.name for d in dimensions_of(section, found.units).all]
    assert "sleeve.flange_diameter" in half_section(section, found.units)


def test_a_longer_sleeve_keeps_its_flange():
    longer = with_longer_sleeve(parse_case(flanged(length="13")))
    assert longer is not None
    assert longer.sleeve.neck == (0.0, 16.0)
    assert (longer.sleeve.outside[0].z_start, longer.sleeve.outside[-1].z_end) == (0.0, 16.0)


def test_a_left_flange_is_as_a_right_flange():
    left, right = margins(flanged("left")), margins(flanged("right"))
    assert left[("sleeve_yields", "entering")] > 0.0
    same(left, right)


@pytest.mark.slow
def test_a_left_shoulder_is_as_a_right_shoulder():
    left, right = margins(shouldered("left")), margins(shouldered("right"))
    assert left[("shell_yields", "entering")] > 0.0
    same(left, right)


@pytest.mark.slow
def test_a_load_along_a_flanged_sleeve_is_judged_in_use():
    """Onto the flange it is no demand on the grip, which [demand] alone is then."""
    found = margins(loaded_flange("3 mm", axial="3 kN", cup=False))
    away = margins(loaded_flange("3 mm", axial="-3 kN", cup=False))
    assert found[("pushed_out", "in use")] == pytest.approx(found[("pushed_out", "pressed")], rel=1e-6)
    assert away[("pushed_out", "in use")] < 0.3 * found[("pushed_out", "in use")]
    assert {("sleeve_yields", "in use"), ("stop_yields", "in use")} <= set(found)


def test_the_record_says_what_the_sleeve_is_pushed_home_against_and_where_it_lies():
    metric, inch = Units("metric"), Units("inch")
    case = parse_case(flanged("right"))
    document = {"bodies": bodies_part(case), "materials": materials_part(case)}
    shown, foreign = (str(bodies(document, units)) for units in (metric, inch))
    assert "right flange, Ø 54.000 mm, 3.000 mm thick" in shown
    assert "z 0.0 to 19.0 mm, beyond the shell" in shown
    assert "54.000 mm" not in foreign
