"""Finished parts that came out otherwise than planned: press them, or a way out that `check` agrees on."""

from functools import cache

import pytest
import tomlkit

from hoopwright import status
from hoopwright.came_out.answer import came_out
from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.document.check import document as check_document
from hoopwright.document.plain import plain
from hoopwright.document.size import document
from hoopwright.pipeline import check_case
from hoopwright.record.document import record_document
from hoopwright.record.gather import gather
from hoopwright.record.pages.came_out import came_out as came_out_page
from hoopwright.record.progress import silent
from hoopwright.sizing.boring_plan import boring_plan
from hoopwright.sizing.plan import size_case

SIZES = """
title = "plain pair, both parts read"
units = "{units}"
[shell]
material = "6061-T6 welded"
width = "20 mm"
outside_diameter = "46 mm"
least_wall = "2 mm"
[[shell.bore]]
from = "0 mm"
to = "20 mm"
gauge = "bore gauge"
readings = [{bore}]
[sleeve]
material = "E355 steel"
length = "20 mm"
bore_diameter = "35 mm"
most_bore_closure = "60 um"
[[sleeve.outside]]
from = "0 mm"
to = "20 mm"
gauge = "micrometer"
part_temperature = "20 degC"
readings = [{sleeve}]
[fit]
friction_low = 0.1
friction_high = 0.2
[demand]
axial_force = "1.2 kN"
torque = "12 N*m"
{press}
[boring]
bore_now = "38 mm"
damage_diameter = "39.5 mm"
depth_of_cut = "0.3 mm"
finish_cut = "0.05 mm"
[mesh]
elements_through_wall = 2
[gauge."bore gauge"]
resolution = "{resolution}"
max_error = "{error}"
[gauge.micrometer]
resolution = "{resolution}"
max_error = "{error}"
repeatability = "{resolution}"
[size]
gauge = "micrometer"
readings = 3
"""
HEAT = '[press]\nmethod = "heat"\n[press.heat]\nshell_most = "180 degC"\nsleeve_cold = "-18 degC"'
PUSH = '[press]\ncapacity = "60 kN"'
"""Ways in: slipped in, which is quick to judge, and pushed."""
PLANNED = 40.056
CAME_OUT = {
    "sleeve 10 µm small": (-0.010, 0.0),
    "sleeve 15 µm large": (0.015, 0.0),
    "bore 20 µm large": (0.0, 0.020),
}
"""What the sleeve and the bore came out larger by than planned, mm."""


def case_text(sleeve=0.0, bore=0.0, units="metric", press=HEAT):
    """The pair as read. sleeve, bore: what it came out larger by, mm."""

    def read(diameter):
        shown = f"{diameter:.3f} " if units == "metric" else f"{diameter / 25.4:.5f} "
        four = 4 * shown + ("mm" if units == "metric" else "in")
        station = 'z = "{} mm", angles = "0 45 90 135 deg", values = "{}"'
        return ", ".join(f"{{ {station.format(z, four)} }}" for z in (2, 10, 18))

    steps = ("1 um", "2 um") if units == "metric" else ("0.00005 in", "0.0001 in")
    return SIZES.format(
        units=units,
        press=press,
        bore=read(40.0 + bore),
        sleeve=read(PLANNED + sleeve),
        resolution=steps[0],
        error=steps[1],
    )


BOTH_UNITS_BOTH_WAYS_IN = pytest.mark.parametrize(
    ("units", "press"),
    [
        ("metric", HEAT),
        ("inch", HEAT),
        pytest.param("metric", PUSH, marks=pytest.mark.slow),
        pytest.param("inch", PUSH, marks=pytest.mark.slow),
    ],
    ids=["metric", "inch", "metric, pushed", "inch, pushed"],
)


@cache
def answer(text):
    """The document of `size`."""
    case = parse_case(text)
    units = Units(case.units)
    plan = size_case(case)
    return plain(document(plan, units, came_out(plan, units)))


def proposed(text, changes):
    """The file of a case with changes, as its owner would write them."""
    file = tomlkit.parse(text)
    for change in changes:
        table = file
        for name in change["table"].split("."):
            table = table[name]
        if change["land"] is not None:
            table = table[change["land"] - 1]
        for key in change["drop"]:
            table.pop(key, None)
        for key, value in change["set"].items():
            table[key] = value
    return tomlkit.dumps(file)


def assert_check_agrees(text, way):
    """`check` of what a way proposes ends as the way says, with the same margins."""
    results = check_case(parse_case(proposed(text, way["changes"])))
    found = plain(check_document(results))
    assert found["state"] == way["state"]
    assert margins_of(found) == pytest.approx(margins_of(way), abs=1e-6)


def margins_of(part):
    return {row["id"]: row["margin"] for row in part["checks"] if row["margin"] is not None}


def way_of(found, name):
    return next(one for one in found["came_out"]["ways"] if one["id"] == name)


def why_not(found, name):
    return next(one["why"] for one in found["came_out"]["not_possible"] if one["id"] == name)


@BOTH_UNITS_BOTH_WAYS_IN
def test_a_small_sleeve_is_made_again_and_check_agrees(units, press):
    text = case_text(*CAME_OUT["sleeve 10 µm small"], units, press)
    found = answer(text)
    assert (found["state"], found["came_out"]["press"], found["decision"]["press"]) == (
        "fails",
        False,
        False,
    )
    assert -0.010 < found["came_out"]["off"][0]["off_mm"] < 0.0
    assert [one["id"] for one in found["came_out"]["ways"]] == ["turn_another", "as_it_is"]
    another = way_of(found, "turn_another")
    assert another["state"] == "holds as far as judged"
    (band,) = another["bands"]
    (size,) = another["sizes"]
    assert band["low_mm"] < size["diameter_mm"] < band["high_mm"]
    assert_check_agrees(text, another)
    assert "too small already" in why_not(found, "turn_further")
    assert "a bore only gets larger" in why_not(found, "bore")


@BOTH_UNITS_BOTH_WAYS_IN
def test_a_large_sleeve_is_turned_further_or_the_shell_bored_and_check_agrees(units, press):
    text = case_text(*CAME_OUT["sleeve 15 µm large"], units, press)
    found = answer(text)
    ways = [one["id"] for one in found["came_out"]["ways"]]
    assert ways == ["turn_further", "turn_another", "bore", "as_it_is"]
    further, another, bored = (way_of(found, name) for name in ways[:3])
    assert further["sizes"] == another["sizes"]
    assert further["sizes"][0]["diameter_mm"] < PLANNED + 0.015
    assert bored["sizes"][0]["diameter_mm"] > 40.0
    assert bored["wall_left_mm"] == pytest.approx(0.5 * (46.0 - bored["sizes"][0]["diameter_mm"]))
    assert_check_agrees(text, bored if units == "inch" else further)
    if press == PUSH:
        assert_check_agrees(text, bored)


@BOTH_UNITS_BOTH_WAYS_IN
def test_a_large_bore_takes_a_larger_sleeve_and_check_agrees(units, press):
    text = case_text(*CAME_OUT["bore 20 µm large"], units, press)
    found = answer(text)
    another = way_of(found, "turn_another")
    assert another["state"] == "holds as far as judged"
    assert another["sizes"][0]["diameter_mm"] > PLANNED
    assert_check_agrees(text, another)
    assert "too large already" in why_not(found, "bore")


def test_before_the_sleeve_is_turned_a_large_bore_moves_its_band():
    """No way out is needed: the sleeve is turned to the bore that there is."""
    stated = proposed(
        case_text(0.0, 0.020), way_of(answer(case_text(0.0, 0.020)), "turn_another")["changes"]
    )
    found = answer(stated)
    assert (found["came_out"], found["decision"]) == (None, None)
    (band,) = found["turn_to"]["bands"]
    (same,) = way_of(answer(case_text(0.0, 0.020)), "turn_another")["bands"]
    assert band["readable_mm"] == same["readable_mm"]


def test_parts_that_fit_are_pressed_and_nothing_else_is_proposed(capsys, tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(case_text(), encoding="utf-8")
    assert main(["size", str(path)]) == status.AS_FAR_AS_JUDGED
    out = capsys.readouterr().out
    assert "Press it as it is. Holds as far as judged" in out
    assert "What can be done" not in out
    assert "Boring plan" not in out
    found = answer(case_text())
    assert found["decision"]["press"]
    assert [one["id"] for one in found["came_out"]["ways"]] == ["as_it_is"]
    assert_check_agrees(case_text(), way_of(found, "as_it_is"))


def test_press_as_it_is_is_said_where_check_holds_and_only_there():
    """Near the end of the window the chance is one-sided, while rows are judged at both ends."""
    said = []
    for change in (-0.0068, -0.0058, -0.0048):
        text = case_text(change)
        found = answer(text)
        assert found["came_out"]["press"] == (found["came_out"]["state"] == "holds as far as judged")
        assert_check_agrees(text, way_of(found, "as_it_is"))
        said.append((found["came_out"]["press"], found["decision"]["probability"] >= 0.95))
    assert said == [(False, False), (False, True), (True, True)]


def test_a_confidence_asked_for_above_that_of_the_check_is_respected():
    text = case_text(-0.0048)
    assert answer(text)["came_out"]["press"]
    found = answer(text.replace("readings = 3\n", "readings = 3\nconfidence = 0.9999\n"))
    assert way_of(found, "as_it_is")["state"] == "fails"
    assert "99.99 % is asked for" in found["verdict"]


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_screen_names_the_ways_in_the_readers_units_within_eighty_columns(units, capsys, tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(case_text(*CAME_OUT["sleeve 15 µm large"], units), encoding="utf-8")
    assert main(["size", str(path)]) == status.SOME_FAIL
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    for words in (
        "Do not press it as it is",
        "1 Turn this sleeve further",
        "aim at",
        "few tools cut so little",
    ):
        assert words in out
    unit, other = (" mm", " in") if units == "metric" else (" in", " mm")
    lines = [line for line in out.splitlines() if "_minus = " in line or "diameter = " in line]
    assert lines
    assert all(other not in line and (unit in line or "um" in line or "thou" in line) for line in lines)
    assert out.count("knurl") == 1
    assert "Boring plan" not in out


def test_the_compound_is_named_with_what_it_needs_and_gets_no_credit_of_ours():
    text = case_text(*CAME_OUT["sleeve 10 µm small"])
    why = why_not(answer(text), "compound")
    for key in ("shear_strength", "credit", "combination", "gap_least", "full_cure"):
        assert key in why
    some = '[compound]\nshear_strength = "15 MPa"\ngap_least = "-0.1 mm"\ngap_most = "0.1 mm"\n'
    without = why_not(answer(text + some), "compound")
    assert "credit" in without
    assert "gap_least" not in without
    assert "shear_strength" not in without
    assert way_of(answer(text + some), "as_it_is")["state"] == "fails"
    large = why_not(answer(case_text(*CAME_OUT["sleeve 15 µm large"])), "compound")
    assert "does nothing for: shell yields" in large


@pytest.mark.slow
def test_a_compound_credited_by_the_case_is_counted_in_pressing_it_as_it_is():
    credited = """
[compound]
shear_strength = "20 MPa"
credit = 1.0
combination = "added"
gap_least = "-0.1 mm"
gap_most = "0.1 mm"
temperature_least = "-40 degC"
temperature_most = "180 degC"
full_cure = "72 h"
cured_for = "96 h"
cure_least = "15 degC"
[temperatures]
use_least = "15 degC"
use_most = "25 degC"
"""
    text = case_text(*CAME_OUT["sleeve 10 µm small"]) + credited
    found = answer(text)
    assert found["came_out"]["press"]
    assert_check_agrees(text, way_of(found, "as_it_is"))


def test_a_bore_that_is_not_clean_is_bored_on_and_gets_another_sleeve():
    text = case_text().replace('damage_diameter = "39.5 mm"', 'damage_diameter = "40.6 mm"')
    found = answer(text)
    assert [one["id"] for one in found["came_out"]["ways"]] == ["bore_and_turn", "as_it_is"]
    both = way_of(found, "bore_and_turn")
    bore = next(s for s in both["sizes"] if s["part"] == "shell")
    assert bore["diameter_mm"] >= 40.6
    assert both["wall_left_mm"] == pytest.approx(0.5 * (46.0 - bore["diameter_mm"]))
    assert_check_agrees(text, both)
    assert [p["diameter_mm"] for p in found["boring"]["passes"]][-1] == pytest.approx(40.6)
    assert found["boring"]["passes"][0]["diameter_mm"] > 40.0  # from what there is, not from bore_now


@pytest.mark.slow
def test_no_more_is_bored_out_than_the_wall_allows():
    text = case_text().replace('damage_diameter = "39.5 mm"', 'damage_diameter = "40.6 mm"')
    thin = text.replace('least_wall = "2 mm"', 'least_wall = "2.75 mm"')
    assert "less than your limit" in why_not(answer(thin), "bore_and_turn")


def test_a_boring_plan_is_made_until_the_bore_is_cut_and_clean():
    read = case_text()
    assert boring_plan(parse_case(read)) is None
    assert boring_plan(parse_case(read.replace("[shell]\n", "[shell]\nbored = false\n"))) is not None
    start = read.index('gauge = "bore gauge"')
    gauged = read[start : read.index("[sleeve]")]
    stated = read.replace(gauged, 'diameter = "40 mm"\nplus_minus = "4 um"\n')
    assert stated != read
    assert boring_plan(parse_case(stated)) is not None
    assert boring_plan(parse_case(stated.replace("[shell]\n", "[shell]\nbored = true\n"))) is None


def test_a_size_with_its_plus_minus_is_finished_where_the_case_says_so():
    """Who reads once, and has no gauge in the case, gets the same answer."""
    text = case_text(-0.010)
    for part, key in (("sleeve", "turned"), ("shell", "bored")):
        text = text.replace(f"[{part}]\n", f"[{part}]\n{key} = true\n")
    file = tomlkit.parse(text)
    for part, surface, size in (("sleeve", "outside", "40.037 mm"), ("shell", "bore", "40.000 mm")):
        del file[part][surface]
        file[part][f"{surface}_diameter"] = size
        file[part][f"{surface}_plus_minus"] = "2 um"
    text = tomlkit.dumps(file)
    another = way_of(answer(text), "turn_another")
    (change,) = another["changes"]
    assert (change["table"], change["land"], change["drop"]) == ("sleeve", None, ["turned"])
    assert set(change["set"]) == {"outside_diameter", "outside_plus_minus"}
    assert_check_agrees(text, another)
    planned = answer(text.replace("turned = true\n", ""))
    assert planned["came_out"] is None
    assert planned["turn_to"]["cut"] == "sleeve"
    to_bore = answer(text.replace("bored = true\n", ""))
    assert to_bore["came_out"] is None
    assert to_bore["turn_to"]["cut"] == "shell"


def test_check_does_not_say_do_not_cut_of_parts_that_are_cut():
    found = plain(check_document(check_case(parse_case(case_text(-0.010)))))
    assert found["verdict"].startswith("Do not press:")


@pytest.mark.slow
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_record_carries_the_same_answer(units):
    text = case_text(*CAME_OUT["sleeve 15 µm large"], units)
    case = parse_case(text)
    found = record_document(gather(check_case(case), Units(units), silent))
    said = answer(text)
    for key in ("press", "state", "verdict", "never", "not_possible"):
        assert found["came_out"][key] == said["came_out"][key]
    assert [w["changes"] for w in found["came_out"]["ways"]] == [
        w["changes"] for w in said["came_out"]["ways"]
    ]
    shown = str(came_out_page(found, Units(units)))
    for words in ("Do not press it as it is", "Turn this sleeve further", "Never knurl"):
        assert words in shown
