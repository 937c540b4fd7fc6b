"""Every stretch of a joint is a seat, a chamfer, a relief or the outline of one body."""

import pytest

from hoopwright.geometry import BoreZone, Land, Shell, Sleeve
from hoopwright.geometry.joint import CAPTURE_DISTANCE, Joint, joint
from hoopwright.geometry.land import cylinder


def overlaid(*turned: Land, chamfer: float = 0.0) -> Joint:
    """Lands turned for a shell 60 mm wide, bored 39 mm; chamfer: of the sleeve's right end."""
    start, end = turned[0].z_start, turned[-1].z_end
    shell = Shell(60.0, (cylinder(0.0, 60.0, 44.0),), (cylinder(0.0, 60.0, 39.0),))
    return joint(shell, Sleeve(start, end, turned, (BoreZone(start, end, 34.9),), chamfer_right=chamfer))


LANDS = (cylinder(-5.0, 20.0, 39.04), cylinder(20.0, 30.0, 38.6), cylinder(30.0, 50.0, 39.03))
"""Protrudes on the left, is relieved in the middle and ends short of the shell on the right."""


@pytest.fixture(scope="module")
def pair():
    return overlaid(*LANDS, chamfer=1.0)


def test_the_sleeve_lies_on_the_bore_at_seats_and_chamfers_and_as_turned_elsewhere(pair):
    assert [(s.z_start, s.z_end, s.outer_start, s.outer_is_seat) for s in pair.sleeve] == [
        (-5.0, 0.0, 19.52, False),  # outline
        (0.0, 20.0, 19.5, True),  # seat
        (20.0, 30.0, 19.3, False),  # relief
        (30.0, 49.0, 19.5, True),  # seat
        (49.0, 50.0, 19.5, False),  # chamfer
    ]


def test_the_bore_is_a_seat_only_where_the_sleeve_touches_it(pair):
    assert [(s.z_start, s.z_end, s.inner_is_seat) for s in pair.shell] == [
        (0.0, 20.0, True),
        (20.0, 30.0, False),
        (30.0, 49.0, True),
        (49.0, 50.0, False),
        (50.0, 60.0, False),
    ]
    assert {s.inner_start for s in pair.shell} == {19.5}


def test_seats_name_their_lands_and_their_interference(pair):
    first, second = pair.seats
    assert (first.z_start, first.z_end, first.bore_land, first.sleeve_land) == (0.0, 20.0, 0, 0)
    assert (second.z_start, second.z_end, second.bore_land, second.sleeve_land) == (30.0, 49.0, 0, 2)
    assert second.interference_start == second.interference_end == pytest.approx(0.03)


@pytest.mark.parametrize(
    ("gap", "touches"), [(0.99 * CAPTURE_DISTANCE, True), (1.01 * CAPTURE_DISTANCE, False)]
)
def test_a_gap_is_a_relief_beyond_the_capture_distance(gap, touches):
    found = overlaid(cylinder(0.0, 60.0, 39.0 - 2.0 * gap))
    assert bool(found.seats) == touches


def test_a_taper_that_comes_close_at_one_end_is_a_seat():
    (seat,) = overlaid(Land(0.0, 60.0, 38.0, 39.02)).seats
    assert (seat.interference_start, seat.interference_end) == pytest.approx((-1.0, 0.02))


def test_a_relief_under_a_chamfer_stays_a_relief():
    found = overlaid(cylinder(0.0, 40.0, 39.04), cylinder(40.0, 60.0, 38.6), chamfer=5.0)
    assert [s.outer_start for s in found.sleeve] == [19.5, 19.3, 19.3]
