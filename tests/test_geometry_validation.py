"""Faults of unsound parts name the part and the key; sound parts pass."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hoopwright.geometry import BoreZone, Land, Shell, Sleeve, Thread
from hoopwright.geometry.land import cylinder
from hoopwright.geometry.validation import joint_faults, shell_faults, sleeve_faults, with_ends_snapped

SHELL = Shell(73.0, (cylinder(0, 73, 44),), (cylinder(0, 40, 39), cylinder(40, 73, 39.5)))
SLEEVE = Sleeve(
    0.0,
    73.0,
    (cylinder(0, 40, 39.04), cylinder(40, 73, 39.54)),
    (BoreZone(0, 20, 34.8, Thread("own", 34.8, 1.0, 33.7)), BoreZone(20, 73, 36)),
    chamfer_left=1.0,
)


def keys(faults):
    return [(fault.part, fault.key) for fault in faults]


def test_sound_parts_have_no_faults():
    assert shell_faults(SHELL) == sleeve_faults(SLEEVE) == joint_faults(SHELL, SLEEVE) == []


@pytest.mark.parametrize(
    ("bore", "words"),
    [
        ((), "no land"),
        ((cylinder(0, 40, 39), cylinder(41, 73, 39)), "gap of 1 mm"),
        ((cylinder(0, 40, 39), cylinder(39, 73, 39)), "overlaps"),
        ((cylinder(40, 73, 39), cylinder(0, 40, 39)), "starts at 40 mm"),
        ((cylinder(0, 70, 39),), "before the end"),
        ((cylinder(0, 74, 39),), "beyond the end"),
        ((cylinder(0, 73, 39), cylinder(73, 73, 39)), "not after its start"),
        ((cylinder(0, 73, -39),), "no positive diameter"),
        ((Land(0, 73, 39, 39, -0.1),), "negative plus_minus"),
        ((Land(0, 73, float("nan"), 39),), "no positive diameter"),
    ],
)
def test_unsound_lands_of_a_bore_are_faults_of_the_bore(bore, words):
    faults = shell_faults(replace(SHELL, bore=bore))
    assert faults
    assert set(keys(faults)) == {("shell", "bore")}
    assert any(words in fault.problem for fault in faults)


def test_a_shell_without_width_is_a_fault_of_the_width():
    assert ("shell", "width") in keys(shell_faults(replace(SHELL, width=0.0)))


def test_a_taper_that_breaks_through_at_one_end_has_no_wall_there():
    (fault,) = shell_faults(replace(SHELL, bore=(Land(0, 73, 39, 44.2),)))
    assert "no wall at z = 73 mm" in fault.problem


def test_wall_is_compared_where_lands_of_both_surfaces_meet():
    """A groove outside and a counterbore inside each leave a wall, but none where they overlap."""
    outside = (cylinder(0, 20, 44), cylinder(20, 40, 40), cylinder(40, 73, 44))
    bore = (cylinder(0, 30, 39), cylinder(30, 73, 41))
    assert "no wall at z = 30 mm" in shell_faults(replace(SHELL, outside=outside, bore=bore))[0].problem
    assert shell_faults(replace(SHELL, outside=outside, bore=(cylinder(0, 73, 39),))) == []


def test_thread_root_counts_as_the_bore_of_the_sleeve():
    zone = BoreZone(0, 73, 39.1, Thread("own", 39.1, 1.0, 38.0))
    assert keys(sleeve_faults(replace(SLEEVE, bore=(zone,)))) == [("sleeve", "bore")]


@pytest.mark.parametrize(
    ("thread", "words"),
    [
        (Thread("own", 34.8, 1.0, 34.8), "minor diameter"),
        (Thread("own", 34.8, 0.0, 33.7), "pitch is not above zero"),
        (Thread("own", 34.8, 90.0, 33.7), "longer than its zone"),
    ],
)
def test_impossible_threads_are_faults_of_the_bore(thread, words):
    (fault,) = sleeve_faults(replace(SLEEVE, bore=(BoreZone(0, 73, 34.8, thread),)))
    assert words in fault.problem


@pytest.mark.parametrize(("left", "right"), [(73.0, 0.0), (40.0, 33.0), (-1.0, 0.0)])
def test_impossible_chamfers_are_faults_of_the_chamfer(left, right):
    (fault,) = sleeve_faults(replace(SLEEVE, chamfer_left=left, chamfer_right=right))
    assert fault.key == "chamfer_left"


def shifted(sleeve, by):
    shift = {"z_start": sleeve.z_start + by, "z_end": sleeve.z_end + by}
    bands = {
        name: tuple(replace(b, z_start=b.z_start + by, z_end=b.z_end + by) for b in getattr(sleeve, name))
        for name in ("outside", "bore")
    }
    return replace(sleeve, **shift, **bands)


@pytest.mark.parametrize(
    ("by", "sound"), [(-0.5, True), (0.5, True), (-72.0, False), (-73.0, False), (80.0, False)]
)
def test_a_sleeve_may_stand_proud_but_must_have_a_land_in_the_shell(by, sound):
    """72 mm farther left, with a chamfer of 1 mm at its right end, there is nothing left to touch."""
    sleeve = shifted(replace(SLEEVE, chamfer_left=0.0, chamfer_right=1.0), by)
    assert keys(joint_faults(SHELL, sleeve)) == ([] if sound else [("sleeve", "start")])


def test_a_gap_everywhere_is_a_fault_and_a_local_gap_is_a_relief():
    loose = (cylinder(0, 40, 38.99), cylinder(40, 73, 39.5))
    relieved = (cylinder(0, 40, 38.5), cylinder(40, 73, 39.54))
    assert "closest is a gap of 0 mm" in joint_faults(SHELL, replace(SLEEVE, outside=loose))[0].problem
    assert joint_faults(SHELL, replace(SLEEVE, outside=relieved)) == []


def test_interference_under_a_chamfer_does_not_count():
    """Only the first millimetre, which the chamfer takes away, is larger than the bore."""
    outside = (Land(0, 1, 39.04, 38.99), cylinder(1, 73, 38.99))
    assert joint_faults(SHELL, replace(SLEEVE, outside=outside, chamfer_left=0.0)) == []
    assert joint_faults(SHELL, replace(SLEEVE, outside=outside, chamfer_left=1.0)) != []


@pytest.mark.parametrize(("share", "sound"), [(0.0199, True), (0.0201, False)])
def test_interference_above_two_per_cent_is_reported_as_a_unit_error(share, sound):
    outside = (cylinder(0, 40, 39 * (1 + share)), cylinder(40, 73, 39.54))
    assert (joint_faults(SHELL, replace(SLEEVE, outside=outside)) == []) is sound


def test_ends_within_a_nanometre_are_joined_and_real_gaps_stay():
    near = (cylinder(1e-8, 40 + 4e-7, 39), cylinder(40, 73 - 1e-7, 39))
    first, second = with_ends_snapped(near, z_start=0.0, z_end=73.0)
    assert (first.z_start, first.z_end, second.z_end) == (0.0, second.z_start, 73.0)
    gap = (cylinder(0, 40, 39), cylinder(40.001, 73, 39))
    assert with_ends_snapped(gap, z_start=0.0, z_end=73.0) == gap
