"""A press log or reading that contradicts the case: beside it no route, window or record holds."""

from __future__ import annotations

import json

import pytest
from plain_pair import PRESSED

from hoopwright import status
from hoopwright.cli import main

ROUTES = """
[[route]]
name = "As the case has it"
kind = "sleeve"
[[route]]
name = "Another metal"
kind = "sleeve"
material = "7075-T6"
[[route]]
name = "Thread"
kind = "larger thread"
thread = "36 mm x 24 tpi right"
engagement = "10 mm"
"""
MEASURED = """
[[shell.bore]]
from = "0 mm"
to = "40 mm"
gauge = "g"
readings = [{ z = "20 mm", angles = "0 45 90 135 deg", values = "40.000 40.000 40.000 40.000 mm" }]
[[sleeve.outside]]
from = "0 mm"
to = "40 mm"
gauge = "g"
readings = [{ z = "20 mm", angles = "0 45 90 135 deg", values = "40.035 40.035 40.035 40.035 mm" }]
[gauge.g]
resolution = "1 um"
max_error = "1 um"
"""
AGREES, CONTRADICTS = ('observed_peak = "22 kN"\n', 'observed_peak = "80 kN"\n')
SLEEVES = ("--sleeves", "E355 steel", "7075-T6")


def measured() -> str:
    """Both parts measured, so that `size` decides whether to press."""
    text = PRESSED.replace('bore_diameter = "40 mm"\nbore_plus_minus = "4 um"\n', "")
    return text.replace('outside_diameter = "40.035 mm"\noutside_plus_minus = "4 um"\n', "")


@pytest.fixture
def run(tmp_path, capsys):
    """Run a command on the text of a case: its status and what it printed."""

    def run(command, text, *more):
        path = tmp_path / "case.toml"
        path.write_text(text, encoding="utf-8")
        code = main([command, str(path), *more])
        return code, capsys.readouterr().out

    return run


@pytest.mark.slow
@pytest.mark.parametrize("more", [(), SLEEVES], ids=["routes", "sleeves"])
def test_compare_says_first_that_what_was_read_contradicts_the_case(more, run):
    """It ended in 0 beside a log that contradicts, with a sleeve that "holds"."""
    assert run("compare", PRESSED + AGREES + ROUTES, *more)[0] == status.ALL_HOLD
    code, out = run("compare", PRESSED + CONTRADICTS + ROUTES, *more)
    assert code == status.SOME_FAIL
    first = " ".join(out.replace("plain pair, invented", "").split())[:160]
    assert first.startswith("What was read at the press contradicts")
    assert max(map(len, out.splitlines())) <= 80
    assert "withheld" in out


def test_no_row_of_any_route_holds_beside_it(run):
    """The log is of the joint as cut; the others rest on the same sizes, friction and shell."""
    _, out = run("compare", PRESSED + CONTRADICTS + ROUTES, "--json")
    found = json.loads(out)
    assert found["state"] == "undecided"
    for route in found["routes"]:
        assert route["state"] in ("undecided", "not comparable")
        assert {c["state"] for c in route["checks"]} <= {"unresolved", "not assessed"}
        assert route["best_margin"] is None
        assert route["window"] is None or route["window"]["withheld"]


@pytest.mark.parametrize("parts", ["stated", pytest.param("measured", marks=pytest.mark.slow)])
def test_size_gives_no_window_no_size_and_no_go_beside_it(parts, run):
    text, lands = (PRESSED, "") if parts == "stated" else (measured(), MEASURED)
    agreeing = json.loads(run("size", text + AGREES + lands, "--json")[1])
    assert agreeing["window"]["withheld"] == ""
    assert not agreeing["window"]["empty"]
    assert (agreeing["decision"] is None) == (parts == "stated")
    code, out = run("size", text + CONTRADICTS + lands, "--json")
    found = json.loads(out)
    assert code == status.SOME_FAIL
    assert "contradicts" in found["window"]["withheld"]
    assert (found["window"]["least"], found["window"]["greatest"]) == (None, None)
    assert (found["turn_to"], found["decision"]) == (None, None)
    assert {c["state"] for c in found["checks"]} <= {"unresolved", "not assessed"}
    _, shown = run("size", text + CONTRADICTS + lands)
    assert "withheld: what was read at the press contradicts" in " ".join(shown.split())
    assert "Go:" not in shown
    assert "Turn the sleeve" not in shown


def test_the_record_draws_no_window_beside_it(run, tmp_path):
    from hoopwright.display import Units
    from hoopwright.record.pages.fit import fit

    code, _ = run("record", measured() + CONTRADICTS + MEASURED, "--out", str(tmp_path))
    found = json.loads(next(tmp_path.rglob("results.json")).read_text(encoding="utf-8"))
    assert code == status.SOME_FAIL
    assert "contradicts" in found["window"]["withheld"]
    assert found["decision"] is None
    shown = str(fit(found, Units()))
    assert "withheld: what was read at the press contradicts" in shown
    assert "'strip'" not in shown


def test_the_figure_of_margins_says_that_the_window_is_withheld():
    from hoopwright.case.read import parse_case
    from hoopwright.display import Units
    from hoopwright.record.figures.window import figure
    from hoopwright.sizing.plan import size_case

    axes = figure(size_case(parse_case(PRESSED + CONTRADICTS)), Units()).axes[0]
    said = " ".join(" ".join(text.get_text() for text in axes.texts).split())
    assert "no window: what was read at the press contradicts" in said
