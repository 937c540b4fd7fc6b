"""A route that leaves the bore as it is has that bore: as far out of round, and as much in doubt."""

from __future__ import annotations

from functools import cache

import pytest
from plain_pair import plain_pair

from hoopwright import interface
from hoopwright.case.read import parse_case
from hoopwright.sizing.route_case import route_case
from hoopwright.suspected import STANDS_OUT

TABLES = """[temperatures]
use_least = "0 degC"
use_most = "40 degC"
[service]
none = "stands in a jig"
[gauge.bore]
max_error = "2 um"
resolution = "1 um"
repeatability = "1 um"
"""
STATIONS = """
[[{table}]]
from = "0 mm"
to = "60 mm"
gauge = "bore"
readings = [
    {{ z = "6 mm", angles = "0 45 90 135 deg", values = "{values} mm" }},
    {{ z = "30 mm", angles = "0 45 90 135 deg", values = "{middle} mm" }},
    {{ z = "54 mm", angles = "0 45 90 135 deg", values = "{values} mm" }},
]
"""
CIRCULAR, OVAL = "41.000 41.001 41.000 40.999", "41.065 41.000 40.935 41.000"
SLIP = "41.000 41.000 41.020 41.001"
PLAIN_SLEEVE = 'outside_diameter = "41.036 mm"\noutside_plus_minus = "2 um"'
ROUTES = {
    "as it is": "",
    "the same bore": 'bore = "41 mm"',
    "another fit": 'interference = "40 um"',
    "larger": 'bore = "41.5 mm"',
    "smaller": 'bore = "40.5 mm"',
}


def text(values=CIRCULAR, middle=None, *, sleeve=PLAIN_SLEEVE, routes=ROUTES, shell=None):
    read = STATIONS.format(table="shell.bore", values=values, middle=middle or values)
    written = "".join(f'[[route]]\nname = "{n}"\nkind = "sleeve"\n{more}\n' for n, more in routes.items())
    return plain_pair(
        shell=read if shell is None else shell,
        sleeve=sleeve,
        shell_outside="60 mm",
        demand="500 N",
        more=TABLES + written,
    )


@cache
def compared(values=CIRCULAR, middle=None):
    found = interface.compare(parse_case(text(values, middle)))
    return {one.route.name: one for one in found.routes}


@pytest.mark.slow
def test_a_route_that_leaves_an_oval_bore_is_judged_in_that_bore():
    case = parse_case(text(OVAL))
    checked = interface.check(case)
    routes = compared(OVAL)
    assert checked.state == "fails"
    assert routes["the same bore"].margins == routes["as it is"].margins
    assert routes["the same bore"].state == routes["as it is"].state == "fails"
    assert routes["another fit"].state == "fails"
    assert "round" not in routes["another fit"].reason
    assert "its bore is yet to be cut and taken as round" in routes["larger"].reason


def test_no_route_in_a_bore_with_a_reading_in_doubt_holds_nor_would_at_another_interference():
    routes = compared(CIRCULAR, SLIP)
    for name in ("as it is", "the same bore", "another fit"):
        assert routes[name].state == "undecided"
        assert routes[name].window.withheld == STANDS_OUT
        assert routes[name].best is None
    assert routes["larger"].state == "holds"


@pytest.mark.slow
def test_a_bore_is_not_cut_smaller():
    routes = compared()
    assert routes["smaller"].state == "cannot be made"
    assert routes["smaller"].reason == "the shell is already bored larger"
    planned = text(shell='bore_diameter = "41 mm"', routes={"smaller": ROUTES["smaller"]})
    (one,) = interface.compare(parse_case(planned)).routes
    assert one.makeable


def test_a_bore_that_is_cut_is_the_one_written_where_its_readings_cannot_tell():
    case = parse_case(text("41.001 41.002 41.001 41.000"))
    same = next(r for r in case.routes if r.name == "the same bore")
    assert route_case(case, same) == case


@pytest.mark.parametrize(("written", "stays"), [("36 um", True), ("50 um", False)])
def test_readings_of_a_sleeve_count_in_the_route_that_has_its_size(written, stays):
    oval = "41.056 41.036 41.016 41.036"
    sleeve = STATIONS.format(table="sleeve.outside", values=oval, middle=oval)
    bore = 'bore_diameter = "41 mm"\nbore_plus_minus = "2 um"'
    routes = {"fit": f'interference = "{written}"'}
    case = parse_case(text(sleeve=sleeve, shell=bore, routes=routes))
    assert bool(route_case(case, case.routes[0]).sleeve_measured) == stays
    (one,) = interface.compare(case).routes
    assert ("its sleeve is yet to be turned and taken as round" in one.reason) != stays
