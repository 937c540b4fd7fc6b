"""The table for the person at the press: even travels, whole divisions, stop never rounded up."""

from __future__ import annotations

import pytest
from fem_models import COARSE
from press_cases import lands, press_case

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.display.gauge import Gauge
from hoopwright.display.press_table import counted_from, gauge_notes, press_rows
from hoopwright.document.press_table import table_part
from hoopwright.pressing.force_travel import case_force_travel
from hoopwright.pressing.rule_marks import MAX_MARKS, STEP_MM, AtMark, at_marks, marks
from hoopwright.record.pages.press import press as press_pages
from hoopwright.screen.press import table as screen_table
from hoopwright.starters import starter_text
from hoopwright.state import being_pushed
from hoopwright.study import CaseStudy

BAR = 0.1
METRIC, INCH = Units("metric"), Units("inch")


RAM_AREA = 1963.5  # mm², of 50 mm


def at(travel, home=73.0, free=1.0, *, peak_bar=65.5, spread=(0.5, 0.7, 1.0)):
    """A force that rises evenly from where the sleeve bears: least, likely and stop; a ram of 50 mm."""
    share = max(0.0, travel - free) / (home - free)
    least, likely, stop = (RAM_AREA * BAR * peak_bar * part * share for part in spread)
    return AtMark(travel, travel, least, likely, stop, 9000.0 * share)


def positions(home=73.0, free=1.0, **sizes):
    found = []
    for travel in (0.0, free, home):
        there = at(travel, home, free, **sizes)
        forces = {line: getattr(there, line) for line in ("least", "likely", "stop")}
        gauge = {f"gauge_{line}_MPa": force / RAM_AREA for line, force in forces.items()}
        found.append({"travel_mm": travel, "stop_N": there.stop} | gauge)
    return found


def curve(gauge=None, *, home=73.0, **sizes):
    solved = {travel: at(travel, home, **sizes) for system in STEP_MM for travel in marks(home, system)}
    last = solved[home]
    return {
        "positions": positions(home, **sizes),
        "greatest_least_N": last.least,
        "greatest_likely_N": last.likely,
        "greatest_stop_N": last.stop,
        "table": table_part(home, solved, gauge, lambda force: force / RAM_AREA),
        "gauge_unit": None if gauge is None else gauge.unit,
        "gauge_division_MPa": None if gauge is None or not gauge.known else BAR * gauge.division,
        "enters_from": "left",
        "friction": {"low": 0.1, "likely": 0.14, "high": 0.2},
    }


@pytest.mark.parametrize(("units", "step"), [(METRIC, 5.0), (INCH, 6.35)])
def test_a_row_stands_every_5_mm_or_quarter_inch_and_the_last_is_home(units, step):
    travel = [row["travel_mm"] for row in curve()["table"][units.system]]
    assert travel[:-1] == pytest.approx([k * step for k in range(1, len(travel))])
    assert travel[-1] == 73.0
    assert travel[-1] - travel[-2] > 0.1 * step


def test_no_row_of_zeros_and_none_twice():
    rows = press_rows(curve(free=31.0), METRIC)
    assert rows[0].travel == "35.0"
    assert all(float(row.force[2]) > 0.0 for row in rows)
    assert len({row.travel for row in rows}) == len(rows)
    assert [row.travel for row in press_rows(curve(home=50.2), METRIC)][-2:] == ["45.0", "50.2"]
    assert press_rows(curve(peak_bar=0.0), METRIC) == []


def test_a_very_long_way_in_has_longer_steps():
    assert len(curve(home=2000.0)["table"]["metric"]) <= MAX_MARKS


@pytest.mark.parametrize(
    ("division", "read"), [(1.0, "65"), (5.0, "65"), (2.0, "64"), (0.5, "65.5"), (10.0, "60")]
)
def test_the_stop_line_is_the_division_below(division, read):
    """6.55 bar was shown as 7, 65.5 as 66: one that stops there has passed the line."""
    last = press_rows(curve(Gauge("bar", division, known=True)), METRIC)[-1]
    assert last.gauge[2].strip() == read
    for row in curve(Gauge("bar", division, known=True))["table"]["metric"]:
        exact = BAR * 65.5 * (row["travel_mm"] - 1.0) / 72.0
        assert row["gauge_stop_MPa"] <= exact + 1e-9
        assert row["gauge_stop_MPa"] > exact - BAR * division
        assert row["gauge_likely_MPa"] == pytest.approx(0.7 * exact, abs=0.5001 * BAR * division)


def test_a_whole_number_of_divisions_is_not_taken_one_down():
    for unit, division in (("bar", 5.0), ("psi", 20.0), ("MPa", 0.2)):
        gauge = Gauge(unit, division, known=True)
        for count in range(200):
            exact = gauge.nearest(gauge._at(count))
            assert gauge.below(exact) == pytest.approx(exact, abs=1e-12)
            assert float(gauge.text(exact)) == pytest.approx(count * division)


def test_a_gauge_too_coarse_for_the_stop_line_is_said_to_be():
    """With divisions of 50 bar the one below a stop of 65.5 is 50, above the likely 45.9; below one of 49
    it is 0, less than what is likely: to stop there would be to stop at a sound fit."""
    part = curve(Gauge("bar", 50.0, known=True))
    for row in part["table"]["metric"]:
        share = (row["travel_mm"] - 1.0) / 72.0
        assert row["gauge_too_coarse"] is (65.5 * share < 50.0)
    rows = press_rows(part, METRIC)
    assert rows[0].gauge[2] == "0*"
    assert rows[-1].gauge[2] == "50 "
    assert "too coarse" in " ".join(gauge_notes(part, METRIC))
    assert "too coarse" not in " ".join(gauge_notes(curve(Gauge("bar", 1.0, known=True)), METRIC))
    assert max(map(len, screen_table(part | {"metal_yields": False, **ERRORS}, METRIC))) <= 80


ERRORS = {"positions": [{**p, "numerical_error_N": 1.0} for p in positions()]}


def test_it_is_said_from_where_travel_counts():
    assert counted_from(curve(free=1.5), METRIC) == (
        "Travel counts from where the sleeve's leading face is flush with the mouth of the shell; it first "
        "bears after 1.5 mm and is home after 73.0 mm."
    )
    assert "it bears from there on and is home after 2.87 in" in counted_from(curve(free=0.0), INCH)


@pytest.mark.parametrize(
    ("press", "unit", "division"),
    [
        ('gauge_division = "5 bar"', "bar", 0.5),
        ('gauge_division = "100 psi"', "psi", 0.6894757),
        ('gauge_unit = "MPa"\ngauge_division = "5 bar"', "MPa", 0.5),
        ("", None, None),
    ],
)
def test_a_gauge_is_marked_in_the_unit_of_its_division(press, unit, division):
    found = press_case(press=f'ram_diameter = "50 mm"\n{press}').press
    assert found.gauge_unit == unit
    assert found.gauge_division_MPa == (None if division is None else pytest.approx(division))


def test_a_starters_gauge_is_in_its_own_trade():
    for units, unit in (("metric", "bar"), ("inch", "psi")):
        case = parse_case(starter_text("plain", units))
        assert case.press.gauge_unit == unit


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_pages_have_the_table_and_the_gauges_own_unit(units):
    gauge = Gauge("psi", 100.0, known=True)
    part = curve(gauge) | {"gauge_division_MPa": 100.0 * 0.006894757293}
    part |= {"metal_yields": False, "capacity_N": None, "restart_force_max_N": 1.0}
    plan = {
        "blocked": False,
        "method": "push",
        "force_against_travel": part,
        "advice": [],
        "past_yield": None,
        "closure_contradicts": "",
        "inferred_fit": None,
        "heat_and_cold": {"ways": []},
    }
    blocks = press_pages({"press": plan}, Units(units))
    (table,) = (block for block in blocks if block["kind"] == "table")
    assert len(table["rows"]) == len(part["table"][units])
    assert "gauge, psi: least" in table["head"]
    facts = str(blocks[0])
    assert "gauge 900 psi" in facts  # 65.5 bar = 950 psi: the division below
    assert "bar" not in facts
    assert table["rows"][-1][3] == "900"


def test_forces_at_the_marks_are_solved_there_and_no_stop_line_is_above_the_solved_one():
    """Between the positions of the curve a straight line lay 2 % above the forces solved there."""
    steps = (
        lands("shell.bore", (0.0, 36.5, 39.0), (36.5, 73.0, 38.9)),
        lands("sleeve.outside", (0.0, 36.5, 39.04), (36.5, 73.0, 38.93)),
    )
    case = press_case(bore="", outside="", extra="\n".join(steps))
    study = CaseStudy(case, COARSE)
    found = at_marks(study.way_in, case_force_travel(study))
    half, mu = study.interference_half_width, case.fit.friction_high
    assert len(found) == 14
    for travel in list(found)[::4]:
        exact = mu * study.way_in.normal_force(travel, -1, being_pushed(case, half, mu))
        assert found[travel].stop <= exact * (1.0 + 1e-9)
        assert found[travel].stop == pytest.approx(exact, rel=5e-3)
