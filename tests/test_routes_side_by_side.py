"""Routes are judged on the same ways to fail; what cannot be judged for one stands apart and is never
best."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest
from plain_pair import BORE, plain_pair

from hoopwright import status
from hoopwright.case.read import parse_case
from hoopwright.case.sizing_model import RouteInput
from hoopwright.checks.margin import Location, Margin, row_of
from hoopwright.checks.service_rows import ASK_FOR_SERVICE
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.record.figures.compare import figure
from hoopwright.record.pages.comparison import APART, comparison_pages
from hoopwright.sizing.route_verdict import comparison_state, comparison_verdict, route_verdict
from hoopwright.sizing.routes import RouteResult, compare_routes, judge_route, rank, route_case, with_gaps

TORN = plain_pair(
    shell=BORE + '\nleast_wall = "2 mm"',
    demand="DEMAND",
    more="""[temperatures]
use_least = "0 degC"
use_most = "40 degC"
[service]
none = "stands in a jig"
[[route]]
name = "Run a tap through"
kind = "tap through"
thread = "1.37 in x 24 right"
engagement = "12 mm"
[[route]]
name = "Steel sleeve"
kind = "sleeve"
""",
)
DAMAGED = """
[boring]
bore_now = "34.8 mm"
damage_depth = "0.9 mm"
runout = "0.06 mm"
depth_of_cut = "0.4 mm"
finish_cut = "0.05 mm"
"""


def torn(more="", *, demand="1.5 kN"):
    return parse_case(TORN.replace("DEMAND", demand) + more)


@cache
def compared(more="", *, demand="1.5 kN"):
    case = torn(more, demand=demand)
    return compare_routes(case, case.routes)


def row(identity="wall_left", margin=0.5, *, capacity=True, note="", doubt=""):
    """A row with a margin, or, without one, a row that lacks its demand, or its capacity as well."""
    judged = margin is not None
    cell = Margin(
        identity,
        identity.replace("_", " "),
        Estimate(1.0) if judged else None,
        Estimate(1.0 + (margin or 0.0)) if judged or capacity else None,
        "mm",
        1.0,
        Location("shell"),
        "by hand",
        note=note,
        doubt=doubt,
    )
    return row_of([cell])


def way(name, *rows, makeable=True):
    return RouteResult(RouteInput(name, "sleeve"), 40.0, 3.0, rows, None, makeable=makeable)


# ---- a thread in the shell itself -------------------------------------------------------------


def test_a_tap_through_torn_threads_stands_apart_from_what_is_pressed():
    """It ranked first, judged on 2 ways to fail where others were on 13."""
    sleeve, tap = compared()
    assert (sleeve.route.kind, tap.route.kind) == ("sleeve", "tap through")
    assert tap.governing.margin > sleeve.governing.margin  # by which it came first
    assert tap.state == "not comparable"
    assert "shell yields" in tap.gaps
    assert comparison_state((tap, sleeve)) == sleeve.state == "holds"
    assert comparison_verdict((tap, sleeve)).startswith("Best of 1: Steel sleeve")
    assert "Not comparable: Run a tap through." in comparison_verdict((tap, sleeve))


def test_damage_is_asked_of_a_tap_through_torn_threads():
    """The tap leaves the damage of 0.9 mm where it was."""
    sleeve, tap = compared(DAMAGED)
    assert {m.id: m.state for m in tap.margins}["damage_removed"] == "fails"
    assert tap.state == "fails"
    assert not tap.comparable
    assert {m.id: m.state for m in sleeve.margins}["damage_removed"] == "holds"
    assert "damage cut away" in route_verdict(tap)


def test_damage_is_asked_of_every_land_of_a_route():
    lands = """
[[shell.bore]]
from = "0 mm"
to = "50 mm"
diameter = "41 mm"
[[shell.bore]]
from = "50 mm"
to = "60 mm"
diameter = "36.2 mm"
[[sleeve.outside]]
from = "0 mm"
to = "50 mm"
diameter = "41.036 mm"
[[sleeve.outside]]
from = "50 mm"
to = "60 mm"
diameter = "36.236 mm"
"""
    text = TORN.replace("DEMAND", "1.5 kN").replace(
        'bore_diameter = "41 mm"\nbore_plus_minus = "2 um"\n', ""
    )
    text = text.replace('outside_diameter = "41.036 mm"\noutside_plus_minus = "2 um"\n', "")
    text = text.replace('bore_diameter = "35.5 mm"', 'bore_diameter = "33 mm"')
    case = parse_case(text + lands + DAMAGED)
    found = {m.id: m for m in judge_route(case, case.routes[1]).margins}["damage_removed"]
    assert found.state == "fails"
    assert found.where.z == pytest.approx(50.0)


def test_where_all_that_is_comparable_fails_a_route_apart_does_not_save_the_day(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(TORN.replace("DEMAND", "15 kN"), encoding="utf-8")
    assert main(["compare", str(path), "--json"]) == status.SOME_FAIL
    found = json.loads(capsys.readouterr().out)
    assert [(r["name"], r["state"]) for r in found["routes"]] == [
        ("Steel sleeve", "fails"),
        ("Run a tap through", "not comparable"),
    ]
    assert [r["comparable"] for r in found["routes"]] == [True, False]
    assert found["routes"][1]["not_judged_as_others"] == ["shell yields"]
    assert "None of the 1" in found["verdict"] or "with another interference" in found["verdict"]


def test_threads_are_compared_with_threads():
    """No stress is judged for any of them: it is missing, and said to be, but sets none of them apart."""
    case = torn()
    tap = case.routes[0]
    shorter = replace(tap, name="Shorter", engagement=0.5)
    found = compare_routes(case, (shorter, tap))
    assert [r.route.name for r in found] == ["Run a tap through", "Shorter"]
    assert {r.state for r in found} <= {"holds as far as judged", "fails"}
    no_length = replace(tap, name="No length", engagement=None)
    *_, last = compare_routes(case, (no_length, tap))
    assert (last.route.name, last.gaps) == ("No length", ("shell thread strips",))


def test_a_thread_leaves_less_wall_where_the_outside_may_be_smaller():
    sized = TORN.replace("DEMAND", "1.5 kN").replace(
        'outside_diameter = "48 mm"', 'outside_diameter = "48 mm"\noutside_plus_minus = "0.1 mm"'
    )
    exact, uncertain = (
        {m.id: m for m in judge_route(c, c.routes[0]).margins}["wall_left"].capacity.value
        for c in (torn(), parse_case(sized))
    )
    assert exact - uncertain == pytest.approx(0.05)


# ---- pressed routes ---------------------------------------------------------------------------


def test_a_route_that_lacks_what_others_are_judged_on_is_not_comparable():
    whole = way("whole", row(margin=0.1), row("sleeve_fatigue_sines", 0.2))
    lacks = way("lacks", row(margin=0.9), row("sleeve_fatigue_sines", None, capacity=False))
    found = sorted(with_gaps([lacks, whole]), key=rank)
    assert [(r.route.name, r.state) for r in found] == [("whole", "holds"), ("lacks", "not comparable")]
    assert found[1].gaps == ("sleeve fatigue sines",)


@pytest.mark.parametrize(
    "other",
    [
        way("without it", row(margin=0.9)),
        way("nothing loads it so", row(margin=0.9), row("turned", None)),
        way(
            "no service load is given",
            row(margin=0.9),
            row("joint_opens", None, capacity=False, note=ASK_FOR_SERVICE),
        ),
    ],
    ids=lambda r: r.route.name,
)
def test_what_is_not_in_the_nature_of_a_route_is_no_gap(other):
    whole = way("whole", row(margin=0.1), row("turned", 0.2), row("joint_opens", 0.2))
    assert [r.comparable for r in with_gaps([other, whole])] == [True, True]


def test_a_route_that_was_not_solved_is_not_comparable_and_one_that_cannot_be_made_comes_last():
    whole, unsolved = way("whole", row(margin=-0.5)), way("unsolved")
    found = sorted(with_gaps([way("unmakeable", makeable=False), unsolved, whole]), key=rank)
    assert [r.state for r in found] == ["fails", "not comparable", "cannot be made"]
    assert comparison_state(found) == "fails"


def test_where_each_lacks_what_another_has_nothing_is_best():
    one = way("one", row(margin=0.9), row("turned", None, capacity=False))
    other = way("other", row(margin=None, capacity=False), row("turned", 0.9))
    found = with_gaps([one, other])
    assert comparison_state(found) == "undecided"
    assert comparison_verdict(found).startswith("None can be compared")


def test_fatigue_data_of_the_case_are_not_taken_for_another_metal():
    case = torn("""
[fatigue.sleeve]
amplitude = "180 MPa"
at_cycles = 2000000
slope = 10
source = "invented, for the steel of the sleeve"
""")
    from hoopwright.materials import table

    own, other = (RouteInput("s", "sleeve", part_material=table()[m]) for m in ("E355 steel", "7075-T6"))
    assert route_case(case, own).fatigue.sleeve is not None
    assert route_case(case, other).fatigue.sleeve is None


# ---- screen and record ------------------------------------------------------------------------


def test_screen_record_and_figure_set_apart_what_is_not_comparable(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(TORN.replace("DEMAND", "1.5 kN"), encoding="utf-8")
    assert main(["compare", str(path), "--out", str(tmp_path)]) == status.ALL_HOLD
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    apart = next(k for k, line in enumerate(lines) if line.startswith("not comparable:"))
    assert lines[apart - 1].startswith("1 Steel sleeve")
    assert lines[apart + 1].startswith("2 Run a tap through")
    assert lines[apart + 1].endswith("apart")
    assert "Not judged, as others are: shell yields." in " ".join(" ".join(lines).split())

    found = json.loads(next(tmp_path.rglob("results.json")).read_text(encoding="utf-8"))
    assert str(comparison_pages(found, hashes={})).count(APART) == 2  # overview and margins


def test_the_figure_has_axes_of_its_own_for_what_is_not_comparable():
    titles = [axes.get_title(loc="left") or axes.get_title() for axes in figure(compared(), Units()).axes]
    assert titles[0] == "Margins by check"
    assert titles[1].startswith("Not comparable")
    assert len(figure(with_gaps([way("a", row()), way("b", row())]), Units()).axes) == 1
