"""The working of every row: from the inputs to the margin, followed from the JSON document alone."""

import json
import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from strategies import toml, valid

from hoopwright.case.read import parse_case, read_case
from hoopwright.checks import CHECKS, evidence_of, judged
from hoopwright.cli import main
from hoopwright.discretisation import usual_resolution
from hoopwright.document.check import check_part
from hoopwright.document.plain import plain
from hoopwright.document.working import working_part
from hoopwright.fem import MeshError, SolveError
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS, Sheet, evaluate

CASES = Path(__file__).parents[1] / "cases"
DEMOS = [p for p in sorted(CASES.glob("*.toml")) if not p.name.endswith(".expected.toml")]
SOUND = [
    CASES / "sound" / f"{name}.toml" for name in ("hub_steel_in_steel", "housing_aluminium_in_aluminium")
]
LIGHT = CASES / "sound" / "crank_steel_in_aluminium.toml"
PLAIN = CASES / "sound" / "plain_steel_in_aluminium.toml"
NAMES = {"π": math.pi} | {
    name: getattr(math, name) for name in ("sqrt", "tan", "cos", "sin", "exp", "log10")
}
ALLOWED = NAMES | {"min": min, "max": max, "abs": abs}


def rows_of(case):
    """The rows of a case as in its document, each with its working."""
    evidence = evidence_of(case, CaseStudy(case, usual_resolution(case)))
    rows = judged(evidence)
    return json.loads(
        json.dumps(plain([check_part(row) | {"working": working_part(evidence, row)} for row in rows]))
    )


def follow(lines):
    """Hold every value of some lines against its own expression, by Python's own arithmetic; all values."""
    values = {}
    for line in lines:
        assert line["meaning"]
        if line["expression"] is None:
            assert line["origin"], line
            assert line["source"], line
        else:
            if line["value"] is None:
                continue
            found = eval(line["expression"], {"__builtins__": {}}, ALLOWED | values)
            assert found == pytest.approx(line["value"], rel=1e-6, abs=1e-9), line
        assert line["symbol"] not in values, line
        values[line["symbol"]] = line["value"]
    return values


def agrees(row):
    """Follow the working of one row to its demand, limit and margin."""
    part = row["working"]
    if part is None:
        assert row["margin"] is None
        return
    values = follow(part["lines"])
    for symbol, key in (("demand", "demand"), ("limit", "capacity"), ("margin", "margin")):
        if values.get(symbol) is not None:
            assert values[symbol] == pytest.approx(row[key], rel=1e-6), (row["id"], symbol)
    if row["margin"] is not None:
        assert {"demand", "limit"} <= set(values), row["id"]
        assert "margin" in values or row["margin"] in (-1.0, None) or math.isinf(row["margin"])
    for hand in (part["by_hand"], *part["loads_by_hand"]):
        if hand:
            by_hand = follow(hand["lines"])
            assert hand["lines"][-1]["symbol"] == "hand"
            assert hand["title"]
            assert hand["reason"]
            if hand["ratio"] is not None:
                assert values[hand["beside"]] / by_hand["hand"] == pytest.approx(hand["ratio"], rel=1e-6)


def test_every_row_has_a_working():
    assert set(WORKINGS) == {check.__name__ for check in CHECKS}


@pytest.mark.parametrize(
    "path",
    [LIGHT, *(pytest.param(p, marks=pytest.mark.slow) for p in (*DEMOS, *SOUND) if p != LIGHT)],
    ids=lambda p: p.stem,
)
def test_demand_limit_and_margin_follow_from_the_document_alone(path):
    rows = rows_of(read_case(path))
    for row in rows:
        agrees(row)
    assert sum(row["working"] is not None for row in rows) > 8


random_cases = settings(
    deadline=None,
    database=None,
    derandomize=True,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)


def followed(case):
    try:
        rows = rows_of(case)
    except (MeshError, SolveError):
        return
    for row in rows:
        agrees(row)


@settings(random_cases, max_examples=2)
@given(valid().map(toml).map(parse_case))
def test_margins_of_random_cases_follow_from_their_working(case):
    followed(case)


@pytest.mark.slow
@settings(random_cases, max_examples=20)
@given(valid().map(toml).map(parse_case))
def test_margins_of_many_random_cases_follow_from_their_working(case):
    followed(case)


CHANGES = {
    "[fit] friction_low": ("friction_low = 0.10", "friction_low = 0.11"),
    "[fit] friction_high": ("friction_high = 0.20", "friction_high = 0.21"),
    "[shell] least_wall": ('least_wall = "6 mm"', 'least_wall = "6.5 mm"'),
    "[shell] runout": ('runout = "0.05 mm"', 'runout = "0.06 mm"'),
    "[sleeve] most_bore_closure": ('closure = "60 um"', 'closure = "50 um"'),
    "[press] capacity": ('capacity = "60 kN"', 'capacity = "70 kN"'),
    "[demand] axial_force": ('axial_force = "2 kN"', 'axial_force = "2.5 kN"'),
    "[demand] torque": ('torque = "30 N*m"', 'torque = "35 N*m"'),
    "[shell] outside_diameter, land 1": ('outside_diameter = "62 mm"', 'outside_diameter = "63 mm"'),
}


@pytest.fixture(scope="module")
def before():
    return rows_of(parse_case(PLAIN.read_text("utf-8")))


@pytest.mark.parametrize(
    "key",
    [k if i % 4 == 0 else pytest.param(k, marks=pytest.mark.slow) for i, k in enumerate(CHANGES)],
)
def test_an_input_changed_in_the_case_changes_its_lines(key, before):
    old, new = CHANGES[key]
    text = PLAIN.read_text("utf-8")
    assert old in text
    after = {row["id"]: row["working"] for row in rows_of(parse_case(text.replace(old, new)))}
    moved = 0
    for row in before:
        for line, again in zip(row["working"]["lines"], after[row["id"]]["lines"], strict=True):
            if line["source"] == key and not line["meaning"].startswith("uncertainty"):
                assert line["value"] != again["value"]
                moved += 1
    assert moved


def test_an_expression_is_arithmetic_in_the_symbols_above_it_and_nothing_else():
    assert evaluate("max(0, a - 2) * sqrt(b)**2 / π", {"a": 5.0, "b": 4.0}) == pytest.approx(12.0 / math.pi)
    for wrong in ("a.real", "a[0]", "print(a)", "c", "'a'", "a if a else a", "lambda: a", "max(x=a)"):
        with pytest.raises(ValueError, match="not an expression"):
            evaluate(wrong, {"a": 1.0})


def test_a_symbol_stands_for_one_thing():
    sheet = Sheet()
    sheet.case("a", 1.0, "mm", "a length", "[shell] width")
    with pytest.raises(ValueError, match="stands for two things"):
        sheet.step("a", "2 * a", "mm", "another")


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_all_workings_fit_eighty_columns(units, capsys):
    main(["check", str(PLAIN), "--working", "all", "--units", units])
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    assert "Working: press is strong enough, entering" in lines
    assert any("(" in line and "lbf)" in line for line in lines) == (units == "inch")


@pytest.mark.parametrize("name", ["pushed_out", "pushed out", "sleeve is pushed out", "Pushed-out"])
def test_a_row_is_named_by_its_title_or_its_name_for_machines(name, capsys):
    main(["check", str(PLAIN), "--working", name])
    shown = capsys.readouterr().out
    assert shown.count("Working:") == 1
    assert "Working: sleeve is pushed out" in shown


def test_an_unknown_row_is_one_line_that_names_those_there_are(capsys):
    assert main(["check", str(PLAIN), "--working", "rust"]) == 2
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 1
    assert "no row 'rust'" in said[0]
    assert "shell yields" in said[0]
