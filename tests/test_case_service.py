"""Tables of service loads: what valid ones are read as, and one clear error line for each bad one."""

from __future__ import annotations

import pytest
from service_cases import CRANK, CUPS, PARTS, TUBES, edited

from hoopwright.case.faults import CaseError
from hoopwright.case.load_cases import service_loads
from hoopwright.case.read import parse_case
from hoopwright.case.service_model import CupInput, OutOfRound
from hoopwright.geometry.tubes import Tube
from hoopwright.loads.support import ClampedBand

BEARING = (
    '[[service.bearing]]\nname = "wheel"\nradial = "2 kN"\nz = "7 mm"\nfrom = "0 mm"\nto = "14 mm"\n'
    'hold = "pressed"\n'
)


def test_a_crank_shell_is_read_completely():
    service = parse_case(CRANK).service
    assert service.pedalling_test == "city"
    assert service.crank.left == CupInput(6.0, 0.0, 12.0, "clamped")
    assert service.crank.chain_line == 45.0
    assert service.support[1] == Tube(105.0, 30.0, 36.5, 1.0, "tube 2")
    assert not service.micro_slip_accepted


def test_inches_and_millimetres_give_the_same_loads():
    inches = edited(CRANK, ('chain_line = "45 mm"', 'chain_line = "1.771653543 in"'))
    one, other = (parse_case(t) for t in (CRANK, inches))
    assert other.service.crank.chain_line == pytest.approx(one.service.crank.chain_line)


def test_a_clamped_band_replaces_tubes_and_its_ends_become_mesh_lines():
    case = parse_case(
        PARTS + "[service]\ncycles = 10\n" + BEARING + '[service.clamped]\nfrom = "30 mm"\nto = "50 mm"\n'
    )
    assert case.service.support == ClampedBand(30.0, 50.0)
    found = service_loads(case.service, case.shell, case.sleeve)
    assert {30.0, 50.0, 0.0, 14.0} <= set(found.edges)
    assert [one.count for one in found.cycles] == [10]


def test_an_out_of_round_bore_is_read():
    text = edited(
        PARTS, ("[sleeve]", '[shell.out_of_round]\novality = "30 um"\nangle = "0.5 rad"\n[sleeve]')
    )
    shape = parse_case(text).out_of_round
    assert shape == OutOfRound(0.03, pytest.approx(28.6478898), 0.0, 0.0)


def test_fatigue_options_have_defaults():
    fatigue = parse_case(PARTS).fatigue
    assert (fatigue.surface, fatigue.reliability, fatigue.heat_affected) == (1.0, 0.99, None)
    assert parse_case(PARTS + "[factors]\nfatigue = 2\n").factors.fatigue == 2.0


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (PARTS + "[service]\n" + TUBES, "pedalling_test: no load given"),
        (edited(CRANK, ('"city"', '"bmx"')), 'pedalling_test = "bmx": not a known type of bicycle'),
        (edited(CRANK, (CUPS, "")), "left_cup: missing; write [service.left_cup]"),
        (edited(CRANK, ('chain_line = "45 mm"', "")), "[service] chain_line: missing"),
        (edited(CRANK, (TUBES, "")), "[service] tube: missing; give what holds the shell"),
        (
            edited(CRANK, (TUBES, TUBES + '[service.clamped]\nfrom = "3 mm"\nto = "9 mm"\n')),
            "given as well as [[service.tube]]",
        ),
        (edited(CRANK, ('angle = "20 deg"', 'angle = "20 mm"')), "[[service.tube]] 1 angle"),
        (
            CRANK.replace("[[service.tube]]", '[[service.tube]]\nname = "stay"', 2),
            '[[service.tube]] 2 name = "stay": also the name of [[service.tube]] 1; '
            'give each tube a name of its own, e.g. name = "stay 2"',
        ),
        (
            CRANK.replace("[[service.tube]]", '[[service.tube]]\nname = "tube 2"', 1),
            '[[service.tube]] 2 name: missing, and the default "tube 2" is the name of [[service.tube]] 1; '
            'give each tube a name of its own, e.g. name = "tube 5"',
        ),
        (
            edited(CRANK, ('outside_diameter = "40 mm"\nz', 'outside_diameter = "-4 mm"\nz')),
            "must be above 0 mm",
        ),
        (edited(CRANK, ('z = "36.5 mm"', 'z = "200 mm"')), "misses the shell"),
        (edited(CRANK, ('to = "12 mm"', 'to = "-1 mm"')), "[service.left_cup] to"),
        (edited(CRANK, ('to = "73 mm"', 'to = "90 mm"')), "is not inside the sleeve"),
        (edited(CRANK, ('bearing = "6 mm"', 'bearing = "70 mm"')), "lies to the right of the other"),
        (edited(CRANK, ('hold = "clamped"', 'hold = "glued"')), "not a known kind of hold"),
        (
            edited(CRANK, ('hold = "clamped"', 'hold = "clamped"\nflange_diameter = "20 mm"')),
            "does not reach beyond",
        ),
        (edited(CRANK, ("chain_line", 'standing_start = "1 kN"\nchain_line')), "crank_length: missing"),
        (edited(CRANK, ("chain_line", "cycles = 0\nchain_line")), "write a whole number from 1"),
        (edited(CRANK, ("chain_line", "speed = 3\nchain_line")), "unknown key"),
        (PARTS + "[service]\n" + BEARING + BEARING + TUBES, "two loads are named 'wheel'"),
        (
            PARTS + "[service]\n" + edited(BEARING, ('radial = "2 kN"\n', "")) + TUBES,
            "no load; give radial or axial",
        ),
        (
            PARTS + "[service]\n" + BEARING + '[service.clamped]\nfrom = "60 mm"\nto = "80 mm"\n',
            "is not on the shell",
        ),
        (
            PARTS + "[service]\n" + BEARING + '[service.clamped]\nfrom = "60 mm"\nto = "50 mm"\n',
            "not beyond from",
        ),
        (PARTS + "[fatigue]\nsurface = 1.5\n", "must be above 0 and at most 1"),
        (PARTS + '[fatigue.shell]\namplitude = "60 MPa"\n', "at_cycles: missing"),
        (edited(PARTS, ("[sleeve]", "[shell.out_of_round]\n[sleeve]")), "ovality: missing"),
        ("service = 3\n" + PARTS, "[service]"),
    ],
)
def test_a_bad_table_gets_one_clear_error_line(text, line):
    with pytest.raises(CaseError) as caught:
        parse_case(text)
    assert line in str(caught.value), str(caught.value)
    assert "Traceback" not in str(caught.value)


def test_a_load_band_across_a_change_of_bore_is_rejected():
    zones = (
        '[[sleeve.bore]]\nfrom = "0 mm"\nto = "10 mm"\ndiameter = "34 mm"\n'
        '[[sleeve.bore]]\nfrom = "10 mm"\nto = "73 mm"\ndiameter = "34.9 mm"\n'
    )
    text = edited(CRANK, ('bore_diameter = "34.9 mm"\n', ""), ("[fit]", zones + "[fit]"))
    with pytest.raises(CaseError, match="the bore changes diameter"):
        parse_case(text)
