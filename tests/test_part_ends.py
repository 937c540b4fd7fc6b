"""What belongs to the left or the right end of a part is taken from that end, where the two ends differ."""

from types import SimpleNamespace

import pytest
from holding_case import CUPS as TIGHTENED
from holding_case import case_of as threaded_case
from holding_case import margins_by_id
from press_cases import lands, press_case
from service_cases import CRANK, case_of, edited

from hoopwright.case.load_cases import service_loads
from hoopwright.checks.sleeve_loads import cup_thread
from hoopwright.geometry.travel import entry_end
from hoopwright.pressing.advice import leading_drag
from hoopwright.pressing.posterior import last_land_enters


def stepped(left, right):
    """A case whose bore and sleeve have one diameter from 0 to 40 mm and another to 73 mm."""
    return press_case(
        bore=lands("shell.bore", (0, 40, left), (40, 73, right)),
        outside=lands("sleeve.outside", (0, 40, left + 0.04), (40, 73, right + 0.04)),
    )


def test_each_cup_has_the_thread_of_its_own_end():
    sleeve = threaded_case().sleeve
    assert [cup_thread(sleeve, side).left_hand for side in ("left", "right")] == [False, True]


@pytest.mark.parametrize(("shortened", "middle"), [("left", 7.5), ("right", 52.5)])
def test_the_thread_that_strips_first_is_shown_at_its_own_end(shortened, middle):
    before, after = TIGHTENED.split(f"[cups.{shortened}]")
    cups = f"{before}[cups.{shortened}]" + after.replace('"10 mm"', '"5 mm"', 1)
    row = margins_by_id(threaded_case(cups))["sleeve_thread_strips"]
    assert f"{shortened} thread" in row.basis
    assert row.where.z == middle


@pytest.mark.parametrize(
    ("side", "flange", "radii"),
    [
        ("left", 42.0, (19.5, 21.0)),
        ("right", 42.0, (19.7, 21.0)),
        ("left", 50.0, (19.5, 22.0)),
        ("right", 50.0, (19.7, 22.5)),
        ("left", 38.0, (17.45, 19.0)),
        ("right", 38.0, (17.25, 19.0)),
    ],
)
def test_a_flange_bears_on_the_face_of_its_own_end(side, flange, radii):
    """An impact towards the flange: radii of the ring that takes it, mm, on the shell or on the sleeve."""
    text = edited(
        CRANK,
        ('pedalling_test = "city"', f'axial_to = "{side}"'),
        ('bore_diameter = "39 mm"\n', ""),
        ('outside_diameter = "44 mm"\n', ""),
        ('outside_diameter = "39.04 mm"\nbore_diameter = "34.9 mm"\n', ""),
        (
            "[fit]",
            lands("shell.bore", (0, 40, 39), (40, 73, 39.4))
            + "\n"
            + lands("shell.outside", (0, 40, 44), (40, 73, 45))
            + "\n"
            + lands("sleeve.outside", (0, 40, 39.04), (40, 73, 39.44))
            + "\n"
            + lands("sleeve.bore", (0, 40, 34.9), (40, 73, 34.5))
            + "\n[fit]",
        ),
        (f"[service.{side}_cup]", f'[service.{side}_cup]\nflange_diameter = "{flange} mm"'),
    )
    text += f'[service.side_impact]\nforce = "900 N"\nside = "{side}"\nradius = "170 mm"\nangle = "0 deg"\n'
    case = case_of(text)
    (blow,) = service_loads(case.service, case.shell, case.sleeve).cases
    load = next(load for load in blow.loads if load.name == f"{side} cup")
    (ring,) = (t for t in load.tractions if t.on_end_face)
    assert ring.face == f"{'sleeve' if flange < 39.0 else 'shell'}.{side}"
    assert (ring.start, ring.end) == pytest.approx(radii)


@pytest.mark.parametrize(("enters_from", "drag"), [("left", 39.24 - 38.8), ("right", 38.84 - 39.2)])
def test_the_leading_land_meets_the_bore_at_the_mouth(enters_from, drag):
    assert leading_drag(stepped(38.8, 39.2), enters_from) == pytest.approx(drag)


@pytest.mark.parametrize(("enters_from", "travel"), [("left", 33.0), ("right", 40.0)])
def test_the_trailing_land_enters_after_all_the_others(enters_from, travel):
    home = [SimpleNamespace(travel=73.0)]
    pressed = SimpleNamespace(case=stepped(38.8, 39.2), positions=home, enters_from=enters_from)
    assert last_land_enters(pressed) == travel


def test_the_smaller_end_leads():
    small_left, small_right = stepped(38.8, 39.2), stepped(39.2, 38.8)
    assert entry_end(small_left.shell, small_left.sleeve) == "right"
    assert entry_end(small_right.shell, small_right.sleeve) == "left"
