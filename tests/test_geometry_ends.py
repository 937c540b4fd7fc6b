"""The ends of parts are found by where they lie, and stations that coincide are one."""

import pytest
from fem_models import MATERIALS, crank_shell

from hoopwright.fem import Resolution, mesh_joint
from hoopwright.fem.numbering import axial_pins, end_face_unknowns
from hoopwright.geometry import BoreZone, Shell, Sleeve, Thread
from hoopwright.geometry.joint import joint
from hoopwright.geometry.land import at_end, cylinder, opposite
from hoopwright.geometry.stations import END_TOLERANCE, distinct
from hoopwright.geometry.travel import MAX_RELATIVE_INTERFERENCE, blocking_travel
from hoopwright.geometry.validation import joint_faults

LANDS = (cylinder(0, 20, 39.0), cylinder(20, 50, 39.2), cylinder(50, 73, 39.5))
ZONES = (BoreZone(0, 15, 34.8, Thread("own", 34.8, 1.0, 33.7)), BoreZone(15, 73, 36.0))


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 0, 1), (1, 2, 0)])
def test_the_land_at_an_end_is_found_in_whatever_order_they_are_listed(order):
    listed = tuple(LANDS[k] for k in order)
    assert at_end(listed, "left") is LANDS[0]
    assert at_end(listed, "right") is LANDS[2]
    assert at_end(listed, opposite("left")) is LANDS[2]


@pytest.mark.parametrize("zones", [ZONES, ZONES[::-1]])
def test_the_zone_at_an_end_of_a_bore_is_found_likewise(zones):
    assert at_end(zones, "left").thread is not None
    assert at_end(zones, "right").thread is None


def test_stations_that_coincide_are_one_and_the_first_stays():
    near = 20.0 + 0.9 * END_TOLERANCE
    assert distinct([73.0, near, 0.0, 20.0, 20.0]) == [0.0, 20.0, 73.0]
    assert distinct([0.0, 1.1 * END_TOLERANCE]) == [0.0, 1.1 * END_TOLERANCE]
    assert distinct([]) == []


def test_ends_given_in_inches_make_one_station_of_the_joint():
    shell = Shell(73.0, (cylinder(0, 73, 44),), (cylinder(0, 25.4, 39), cylinder(25.4, 73, 39.2)))
    turned = (cylinder(0, 25.4 + 4e-7, 39.04), cylinder(25.4 + 4e-7, 73, 39.24))
    found = joint(shell, Sleeve(0.0, 73.0, turned, (BoreZone(0, 73, 34.9),)))
    assert [seat.z_start for seat in found.seats] == [0.0, 25.4]


@pytest.mark.parametrize(("share", "enters"), [(0.9, True), (1.1, False)])
def test_a_land_enters_just_where_the_joint_is_accepted(share, enters):
    bore = 39.0
    turned = cylinder(0, 73, bore * (1.0 + share * MAX_RELATIVE_INTERFERENCE))
    shell = Shell(73.0, (cylinder(0, 73, 44),), (cylinder(0, 73, bore),))
    sleeve = Sleeve(0.0, 73.0, (turned,), (BoreZone(0, 73, 34.9),))
    assert (blocking_travel(shell, sleeve, "left") is None) == enters
    assert (joint_faults(shell, sleeve) == []) == enters


def test_axial_pins_lie_on_the_middle_pair_and_ends_held_are_all_nodes_of_all_end_faces():
    coarse = Resolution(elements_through_wall=2, at_contact_end=0.3, at_step=0.6, at_free_end=0.6)
    meshed_joint = mesh_joint(crank_shell(), MATERIALS, coarse)
    mesh, pairs = meshed_joint.model.mesh, meshed_joint.interface
    both, one = (axial_pins(pairs, tied_axially=tied).tolist() for tied in (False, True))
    middle = len(pairs.z) // 2
    assert both == [3 * pairs.shell[middle] + 2, 3 * pairs.sleeve[middle] + 2]
    assert one == both[:1]
    z = mesh.nodes[1]
    at_ends = [3 * node + 2 for node in range(len(z)) if z[node] in (0.0, 73.0)]
    assert end_face_unknowns(mesh).tolist() == at_ends
