"""Chamfers with an angle: their depth, what they leave of the face that is pushed, and if they lead in."""

from __future__ import annotations

from math import radians, tan

import pytest
from plain_pair import plain_pair

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.ends_crush import pushed_face
from hoopwright.checks.press_force import press_force
from hoopwright.entry import entry_side
from hoopwright.fem import Resolution
from hoopwright.geometry.lead_in import ShallowChamfer, shallow_chamfer
from hoopwright.study import CaseStudy

SIZE = 'outside_diameter = "41.036 mm"\noutside_plus_minus = "2 um"\n'
FROM_THE_LEFT = '[press]\nenters_from = "left"\n'


def case_of(chamfers: str, more: str = FROM_THE_LEFT):
    return parse_case(plain_pair(sleeve=SIZE + chamfers, length="20 mm", more=more))


def evidence(chamfers: str):
    case = case_of(chamfers)
    return evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))


def shallow(case, change: float = 0.0) -> ShallowChamfer | None:
    return shallow_chamfer(case.shell, case.sleeve, entry_side(case), change)


def right(length: str, angle: str) -> str:
    return f'chamfer_right = "{length}"\nchamfer_right_angle = "{angle}"\n'


def test_a_chamfer_is_as_deep_as_its_length_and_its_angle_to_the_axis_make_it():
    sleeve = case_of(right("2 mm", "15 deg")).sleeve
    assert sleeve.chamfer_depth("right") == pytest.approx(2.0 * tan(radians(15.0)))
    assert sleeve.chamfer_depth("left") is None
    assert case_of('chamfer_right = "2 mm"\n').sleeve.chamfer_depth("right") is None


@pytest.mark.parametrize(("angle", "leads"), [("1 deg", True), ("0.5 deg", False)])
def test_a_chamfer_shallower_than_half_the_interference_shaves(angle, leads):
    """1.2 mm at 1° is 20.9 µm deep, at 0.5° 10.5 µm; it takes half of 36 + 3 µm."""
    made = right("1.2 mm", angle)
    found = shallow(case_of(made), 0.003)
    assert (found is None) is leads
    if found is not None:
        assert found.end == "right"
        assert 1e3 * found.depth == pytest.approx(1200.0 * tan(radians(0.5)))
        assert 1e3 * found.least == pytest.approx(0.5 * (36.0 + 3.0))


def test_only_the_end_that_goes_in_first_leads():
    left = 'chamfer_left = "1 mm"\nchamfer_left_angle = "0.5 deg"\n'
    assert shallow(case_of(left)) is None
    assert shallow(case_of(left, FROM_THE_LEFT.replace("left", "right"))).end == "left"


@pytest.mark.slow
def test_the_row_of_the_press_says_that_it_shaves():
    assert "shaves metal off" in press_force(evidence(right("1 mm", "0.5 deg"))).note
    assert "shaves" not in press_force(evidence(right("1 mm", "15 deg"))).note


def test_a_stated_chamfer_takes_its_own_ring_off_the_face_that_is_pushed():
    """2 mm at 10° take 0.35 mm off the radius; without an angle it is tan 30° of 2 mm, to half the wall."""
    stated, unstated = (
        pushed_face(evidence('chamfer_left = "2 mm"\n' + angle), "sleeve")
        for angle in ('chamfer_left_angle = "10 deg"\n', "")
    )
    assert stated == pytest.approx((35.5, 41.036 - 4.0 * tan(radians(10.0))))
    assert unstated == pytest.approx((35.5, 41.036 - 4.0 * 0.58))


@pytest.mark.parametrize(
    ("chamfer", "said"),
    [
        (right("4 mm", "45 deg"), "the chamfer is 4 mm"),
        (right("1 mm", "0 deg"), "must be above 0 deg"),
        (right("1 mm", "90 deg"), "at most 80 deg"),
    ],
)
def test_an_impossible_chamfer_is_said_in_one_line(chamfer, said):
    with pytest.raises(CaseError) as caught:
        case_of(chamfer)
    assert len(caught.value.faults) == 1
    assert said in str(caught.value.faults[0])


def test_an_angle_without_a_chamfer_changes_nothing():
    (notice,) = case_of('chamfer_left_angle = "15 deg"\n').without_effect
    assert "chamfer_left_angle" in str(notice)
    assert "chamfer_left" in notice.needs
