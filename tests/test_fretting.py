"""Fatigue at a seat that slips, at thread roots, and the key that says how sure a strength is."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from service_cases import CRANK, case_of, edited
from test_checks_service import COMPOUND

from hoopwright.case.holding_model import Temperatures
from hoopwright.case.read import parse_case
from hoopwright.checks import Margin, evidence_of
from hoopwright.checks.fatigue import shell_fatigue_sines, sleeve_fatigue_walker
from hoopwright.checks.joint_slips import joint_slips
from hoopwright.checks.local_strength import FRETTING, THREAD, factors_at, seat_in_use, shares
from hoopwright.document.before_signing import before_signing_part
from hoopwright.errors import CaseError
from hoopwright.fem import Resolution
from hoopwright.service.study import spot_of
from hoopwright.study import CaseStudy

COARSE = Resolution(elements_through_wall=2)
OWN = '[fatigue.sleeve]\namplitude = "180 MPa"\nat_cycles = 2000000\nslope = 10\nsource = "invented"\n'
THREADED = edited(
    CRANK,
    (
        'bore_diameter = "34.9 mm"\n',
        """
[[sleeve.bore]]
from = "0 mm"
to = "20 mm"
thread = "1.37 in x 24 right"
[[sleeve.bore]]
from = "20 mm"
to = "73 mm"
diameter = "35.5 mm"
""",
    ),
)


@cache
def evidence(text: str = CRANK + OWN):
    case = case_of(text)
    return evidence_of(case, CaseStudy(case, COARSE))


def accepting(found, **fatigue):
    """The same solutions where local slip is accepted."""
    case = replace(found.case, service=replace(found.case.service, micro_slip_accepted=True))
    return replace(found, case=replace(case, fatigue=replace(case.fatigue, **fatigue)))


def on_a_seat_that_frets(row: Margin) -> bool:
    """Whether the point that governs carries the knock-down."""
    return FRETTING in row.basis


def test_a_seat_that_slips_and_nobody_accepts_leaves_fatigue_undecided():
    found = evidence()
    assert joint_slips(found).state == "fails"
    assert seat_in_use(found) == "slips"
    row = shell_fatigue_sines(found)
    assert "fretting" in row.doubt
    assert row.state != "holds"


def test_a_seat_that_slips_and_is_accepted_keeps_a_share_of_its_strength():
    """The same point and demand: the limit is 0.45 of it, or what the case says."""
    found = evidence()
    smooth = shell_fatigue_sines(accepting(found, fretting=1.0))
    row = shell_fatigue_sines(accepting(found))
    assert on_a_seat_that_frets(row)
    assert not row.doubt
    assert row.where == smooth.where
    assert row.demand.value == pytest.approx(smooth.demand.value, rel=1e-9)
    assert row.capacity.value == pytest.approx(0.45 * smooth.capacity.value, rel=1e-9)
    mild = shell_fatigue_sines(accepting(found, fretting=0.8))
    assert mild.capacity.value == pytest.approx(0.8 * smooth.capacity.value, rel=1e-9)


def test_fatigue_of_a_metal_that_heat_has_spoilt_is_in_doubt():
    """6061-T6 out of an oven of 230 °C, beyond the curve of what that leaves."""
    found = accepting(evidence())
    hot = Temperatures(use_min=0.0, use_max=20.0, oven=210.0)
    spoilt = replace(found, case=replace(found.case, temperatures=hot))
    assert "loses strength for good" in shell_fatigue_sines(spoilt).doubt
    assert shell_fatigue_sines(spoilt).state != "holds"


def test_only_the_faces_that_rub_lose_strength_and_a_wall_beyond_their_ends():
    found = accepting(evidence())
    wall = found.study.service.solutions["stuck"][0].walls
    assert np.all(shares(found, "shell", wall["shell"])[0] == 0.45)
    assert np.all(shares(found, "shell", wall["shell"])[1] == 1.0)
    assert np.all(shares(found, "sleeve", wall["sleeve"])[0] == 1.0)
    assert np.all(shares(found, "sleeve", wall["sleeve"])[1] == 0.45)
    beside = replace(wall["shell"], z=np.array([-2.1, -2.0, 36.0, 75.0, 75.1]))  # thinnest wall 2.05 mm
    assert list(shares(found, "shell", beside)[0]) == [1.0, 0.45, 0.45, 0.45, 1.0]


def test_a_credited_compound_takes_fretting_away_only_where_it_keeps_the_seat_still():
    """By the row of local slip itself: 60 MPa keeps it still, 1 MPa does not."""
    strong, weak = (accepting(evidence(CRANK + COMPOUND.format(s))) for s in ("60 MPa", "1 MPa"))
    assert (
        joint_slips(replace(strong, case=evidence(CRANK + COMPOUND.format("60 MPa")).case)).state == "holds"
    )
    assert (seat_in_use(strong), seat_in_use(weak)) == ("still", "slips")
    held, slips = shell_fatigue_sines(strong), shell_fatigue_sines(weak)
    assert not on_a_seat_that_frets(held)
    assert on_a_seat_that_frets(slips)
    assert slips.margin < held.margin


def test_thread_roots_are_left_out_aloud_or_taken_by_a_factor():
    found = accepting(evidence(THREADED + OWN), fretting=1.0)
    row = sleeve_fatigue_walker(found)
    assert "roots of the sleeve's threads are not covered" in row.note
    told = before_signing_part(
        found.case,
        [
            {
                "id": row.id,
                "title": row.title,
                "state": row.state,
                "doubt": "",
                "margin": 1.0,
                "working": None,
            }
        ],
    )
    assert any("thread_notch_factor" in point["text"] for point in told)
    notched = accepting(evidence(THREADED + OWN), fretting=1.0, thread_notch_factor=3.0)
    worse = sleeve_fatigue_walker(notched)
    assert worse.margin < row.margin
    assert THREAD in worse.basis
    assert worse.where.z <= 20.0
    wall = found.study.service.solutions["stuck"][0].walls["sleeve"]
    left = shares(notched, "sleeve", wall)
    assert np.all(left[0, wall.z < 20.0] == pytest.approx(1.0 / 3.0))
    assert np.all(left[0, wall.z > 20.1] == 1.0)
    assert shares(found, "sleeve", wall) is None
    assert "thread" not in " ".join(shell_fatigue_sines(found).note.split("weld")[1:])


@pytest.mark.parametrize("written", ["0.81", "1.0", "0", "-3"])
def test_a_factor_in_the_place_of_a_share_of_bars_is_rejected_with_what_to_write(written):
    text = CRANK + f"[fatigue]\nreliability = {written}\n"
    with pytest.raises(CaseError) as error:
        parse_case(text)
    (line,) = str(error.value).splitlines()
    assert "[fatigue] reliability" in line
    assert "no factor on strength" in line
    assert "write e.g. reliability = 0.99" in line


def test_more_bars_leave_less_strength():
    """99.9 % against 99 %: the log life shifts by 3.090 in place of 2.326 times 0.48; slope 9.84."""
    found = evidence()
    usual, sure = (
        shell_fatigue_sines(accepting(found, fretting=1.0, reliability=share)) for share in (0.99, 0.999)
    )
    ratio = 10.0 ** (-0.48 * (3.0902 - 2.3263) / 9.84)
    assert sure.capacity.value / usual.capacity.value == pytest.approx(ratio, abs=1e-4)


@pytest.mark.parametrize("cycles", [1000, 10**5, 10**8, 10**12])
def test_no_life_is_stated_beyond_the_data_or_the_number_required(cycles):
    """More than 7.6e5 cycles, which is 1e7 of the tests' mean by 99 % of bars, unless more is asked for."""
    found = accepting(evidence(), fretting=1.0)
    service = found.study.service
    usual = service.loads
    counted = tuple(replace(one, count=cycles) for one in usual.cycles)
    service.loads = replace(usual, cycles=counted)
    try:
        row = shell_fatigue_sines(found)
    finally:
        service.loads = usual
    assert row.note.startswith("lasts ")
    told = float(row.note.removeprefix("lasts ").removeprefix("more than ").split()[0])
    assert told <= max(1e7 / 10.0 ** (0.48 * 2.3263), cycles)
    assert ("tangent" in row.note) == (cycles >= 10**8)


def test_a_point_off_the_seat_has_no_factor():
    found = accepting(evidence())
    spot = shell_fatigue_sines(found).where
    assert spot.body == "shell"
    service = found.study.service.solutions["stuck"][0]
    field = np.zeros((1, *service.walls["shell"].stress.shape[1:-1]))
    field[0, 1, 3, 3] = 1.0
    assert factors_at(found, "shell", spot_of(field, "shell", service)) == {}
    field[0, 0, 3, 3] = 2.0
    assert factors_at(found, "shell", spot_of(field, "shell", service)) == {FRETTING: 0.45}


def test_of_places_that_are_alike_but_for_rounding_the_first_is_named():
    service = evidence().study.service.solutions["stuck"][0]
    field = np.ones((1, *service.walls["shell"].stress.shape[1:-1]))
    field[0, 1, 3, 5] = 1.0 + 1e-12
    spot = spot_of(field, "shell", service)
    assert (spot.surface, spot.z) == ("bore", float(service.walls["shell"].z[0]))
    field[0, 1, 3, 5] = 1.0 + 1e-6
    assert spot_of(field, "shell", service).surface == "outside"
    field[0, 1, 3, 5] = np.nan  # is not passed over
    assert np.isnan(spot_of(field, "shell", service).value)
