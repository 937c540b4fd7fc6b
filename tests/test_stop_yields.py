"""The row of a flange or a shoulder: by hand, in every stage, and beside the grip. Invented sizes."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from cells import cell_of, stages_of
from stopped_cases import SHOULDERED, loaded_flange, shouldered
from test_proud_sleeve import PUSHED
from test_sleeve_stops import flanged

from hoopwright.case.read import parse_case
from hoopwright.checks import Evidence, evidence_of
from hoopwright.checks.seat_demands import seat_demands
from hoopwright.checks.stop_yields import stop_yields
from hoopwright.fem import Resolution
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS

NAMED = 'stop = "right shoulder"\n'
COARSE = Resolution(elements_through_wall=2, at_contact_end=0.02, growth=1.0)


def evidence_for(text: str) -> Evidence:
    case = parse_case(text)
    return evidence_of(case, CaseStudy(case, COARSE))


def test_face_and_root_of_a_flange_by_hand():
    """1 kN by [demand] on a flange of 54 × 3 mm on a bore of 42 mm: the root governs; 8 mm thick, the face,
    in the aluminium."""
    row = stop_yields(evidence_for(flanged()))
    shear, bending = 1e3 / (pi * 42.04 * 3.0), 6.0 * 1e3 * 2.98 / (pi * 42.04 * 9.0)
    assert row.demand.value == pytest.approx(sqrt(bending**2 + 3.0 * shear**2))
    assert (row.where.body, row.where.z, row.factor) == ("sleeve", 0.0, 1.2)
    assert stages_of(row) == ["pressed"]
    thick = stop_yields(
        evidence_for(flanged(length="31").replace('thickness = "3 mm"', 'thickness = "15 mm"'))
    )
    assert thick.demand.value == pytest.approx(1e3 / (pi / 4.0 * (54.0**2 - 42.0**2)))
    assert thick.where.body == "shell"


def test_a_flange_wider_than_the_shell_bears_as_far_as_the_shell_goes():
    row = stop_yields(evidence_for(flanged().replace("54 mm", "80 mm")))
    lever = 0.25 * (42.0 + 62.0) - 0.5 * 42.04
    bending, shear = 6.0 * 1e3 * lever / (pi * 42.04 * 9.0), 1e3 / (pi * 42.04 * 3.0)
    assert row.demand.value == pytest.approx(sqrt(bending**2 + 3.0 * shear**2))


@pytest.mark.parametrize("end", ["left", "right"])
def test_a_shoulder_by_hand(end):
    """A land of 36 mm, 4 mm long, under a sleeve of 34 to 42.04 mm: its ring is 36 to 42 mm."""
    row = stop_yields(evidence_for(shouldered(end)))
    shear, lever = 1e3 / (pi * 42.0 * 4.0), 21.0 - 0.25 * (36.0 + 42.0)
    root = sqrt((6.0 * 1e3 * lever / (pi * 42.0 * 16.0)) ** 2 + 3.0 * shear**2)
    face = 1e3 / (pi / 4.0 * (42.0**2 - 36.0**2))
    assert row.demand.value == pytest.approx(max(root, face))
    assert (row.where.body, row.where.z) == ("shell", 16.0 if end == "right" else 4.0)


def test_a_shoulder_counts_whether_it_is_named_or_not():
    named, unnamed = (
        stop_yields(evidence_for(text)) for text in (SHOULDERED, SHOULDERED.replace(NAMED, ""))
    )
    assert named.demand == unnamed.demand


def test_without_a_stop_there_is_no_such_row_and_without_a_push_it_is_asked_for():
    assert not stop_yields(evidence_for(PUSHED)).applies
    quiet = stop_yields(evidence_for(flanged().replace('axial_force = "1 kN"', 'torque = "1 N*m"')))
    assert quiet.margin is None
    assert quiet.applies
    assert "[demand] axial_force" in quiet.note


def test_what_pushes_onto_the_stop_is_the_stops_and_what_pulls_off_it_is_the_grips():
    """[demand] 1 kN in its worse sense beside a load of 3 kN, towards the flange and away from it."""
    onto, off = (evidence_for(loaded_flange("3 mm", axial=axial, cup=False)) for axial in ("3 kN", "-3 kN"))
    grip = [max(load.axial for load in seat_demands(one, "in use")) for one in (onto, off)]
    assert grip == pytest.approx([1e3, 4e3])
    pressed, used = (cell_of(stop_yields(onto), stage).demand.value for stage in ("pressed", "in use"))
    assert used == pytest.approx(4.0 * pressed)
    assert cell_of(stop_yields(off), "in use").demand.value == pytest.approx(pressed)


def test_the_pull_of_one_cup_onto_the_stop_counts_while_it_is_tight():
    row = stop_yields(evidence_for(loaded_flange("3 mm", axial="3 kN", cup=True)))
    per_newton = cell_of(row, "pressed").demand.value / 1e3
    pull = cell_of(row, "cups").demand.value / per_newton
    assert pull > 100.0
    used = cell_of(row, "in use")
    assert used.demand.value == pytest.approx((4e3 + pull) * per_newton)
    assert used.basis.startswith("'thrust' and [demand] and the pull of a cup onto the flange")


@pytest.mark.parametrize(
    "text", [flanged(), shouldered("left"), loaded_flange("1 mm")], ids=["flange", "shoulder", "loaded"]
)
def test_the_working_leads_to_every_cell(text):
    evidence = evidence_for(text)
    for cell in stop_yields(evidence).cells:
        working = WORKINGS["stop_yields"](evidence, cell)
        assert working.value("demand") == pytest.approx(cell.demand.value)
        assert working.value("limit") == pytest.approx(cell.capacity.value)
        assert working.value("margin") == pytest.approx(cell.margin)
