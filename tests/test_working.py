"""The working of every row: from the inputs to the margin, followed from the JSON document alone."""

import json
import math
import re
import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import HealthCheck, Phase, given, settings
from strategies import toml, valid

from hoopwright.case.quantity import converted
from hoopwright.case.read import parse_case, read_case
from hoopwright.checks import CHECKS, evidence_of, judged
from hoopwright.cli import main
from hoopwright.discretisation import usual_resolution
from hoopwright.display import Units
from hoopwright.display.working import ALIKE, said_of, value_text
from hoopwright.document.check import check_part
from hoopwright.document.plain import plain
from hoopwright.document.working import working_part
from hoopwright.fem import MeshError, SolveError
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS, Sheet, evaluate, symbols_of

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


QUANTITY = re.compile(r"([-+]?\d+(?:\.\d+)?)( [^\d\s].*)")
LITTLE = 1.0002
TOGETHER = ("width", "length", "from", "to", "thread")
"""Keys that fit no other value: sleeve, lands and loads end with their shell, and threads are named."""
ONE_KEY = re.compile(r"\[([\w.]+)\] (\w+)")
FROM_MANY = {
    "[[service.bearing]] or [service] cycles",
    "[fit] roughness and smoothing",
    "[shell.out_of_round] or readings",
    "[service], statics",
    "[service] or [cups]",
}
"""Sources of several keys, or of some that both cases leave out; the statics have tests of their own."""
DEFAULTS = {
    ("factors", "yield"): 1.25,
    ("factors", "holding"): 1.6,
    ("factors", "pressing"): 1.3,
    ("factors", "fatigue"): 1.3,
    ("factors", "buckling"): 2.1,
    ("press", "restart_ratio"): 1.35,
}
"""Keys that the cases leave at the tool's own value, and another."""


def changed_keys(values, name=""):
    """Every key of a case with a quantity or a number: its table, names, and a little more of it."""
    for key, value in values.items():
        inner = f"{name}.{key}" if name else key
        for row in value if isinstance(value, list) else [value]:
            if isinstance(row, dict):
                yield from changed_keys(row, inner)
        found = QUANTITY.fullmatch(value) if isinstance(value, str) else None
        if found:
            yield values, name, key, f"{float(found[1]) * LITTLE:.9g}{found[2]}"
        elif isinstance(value, float):
            yield values, name, key, value * LITTLE


def workings_of(values):
    case = parse_case(tomlkit.dumps(values))
    evidence = evidence_of(case, CaseStudy(case, usual_resolution(case)))
    rows = [row for row in judged(evidence) if row.demand or row.capacity]
    return {row.id: WORKINGS[row.id](evidence, row) for row in rows}


def inputs_of(workings):
    """The inputs that the case gives, by row, formula and symbol, with the steps that each goes into."""
    found = {}
    for name, working in workings.items():
        hands = (*([working.by_hand] if working.by_hand else []), *working.loads_by_hand)
        for title, lines in ((None, working.lines), *((hand.title, hand.lines) for hand in hands)):
            for line in lines:
                if line.origin == "case" and line.source not in FROM_MANY:
                    steps = [x for x in lines if x.expression and line.symbol in symbols_of(x.expression)]
                    found[name, title, line.symbol] = line, steps
    return found


def moves(path, table=""):
    """Change the keys of a table, or all, by a little: inputs named after a changed key move, with what is
    worked out from them, and those of other keys stay."""
    values = tomllib.loads(path.read_text("utf-8"))
    before, changed = inputs_of(workings_of(values)), set()
    for where, name, key, more in list(changed_keys(values)):
        if name and key not in TOGETHER and (not table or name.split(".")[0] == table):
            where[key] = more
            changed.add(f"{name}.{key}")
    for (name, key), value in DEFAULTS.items():
        if not table or table == name:
            values.setdefault(name, {})[key] = value
            changed.add(f"{name}.{key}")
    after, moved = inputs_of(workings_of(values)), 0
    for place, (line, steps) in before.items():
        named = {f"{name}.{key}" for name, key in ONE_KEY.findall(line.source)}
        again, then = after.get(place, (None, []))
        if again is None or again.source != line.source or not named or not line.value:
            continue
        if named <= changed:
            assert again.value != line.value, (place, line)
            moved += 1
            pairs = list(zip(steps, then, strict=True))
            bounded = [x for x, _ in pairs if re.search(r"\b(max|min|abs)\b", x.expression)]
            assert len(bounded) == len(pairs) or any(x.value != y.value for x, y in pairs), place
        elif again.meaning != line.meaning:  # what governs has moved along the joint
            continue
        elif not {name.split(".")[0] for name in named} & {name.split(".")[0] for name in changed}:
            assert again.value == pytest.approx(line.value, rel=1e-12), (place, line)
    return moved


def test_inputs_changed_in_the_case_change_their_lines_and_what_follows():
    assert moves(PLAIN) > 20


@pytest.mark.slow
@pytest.mark.parametrize("path", [PLAIN, LIGHT], ids=lambda p: p.stem)
@pytest.mark.parametrize("table", ["shell", "sleeve", "fit", "demand", "press", "factors", "cups"])
def test_inputs_of_one_table_change_their_own_lines_and_no_others(path, table):
    assert moves(path, table) > 0 or (table == "cups" and path == PLAIN)


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


PINT = {"N*mm^2": "lbf*in^2", "mm/MPa": "in/ksi", "N/mm": "lbf/in", "1/mm": "1/in", "mm^2": "in^2"}
PINT |= {
    "mm": "in",
    "um": "thou",
    "mm^3": "in^3",
    "N": "lbf",
    "N*mm": "in*lbf",
    "N*m": "ft*lbf",
    "MPa": "ksi",
}


@pytest.mark.parametrize(("unit", "inch"), PINT.items())
def test_every_value_stands_in_inch_units_as_well_for_a_reader_in_inches(unit, inch):
    line = {"value": 123.456, "unit": unit}
    shown = re.search(r"\(([-\d.e+]+) ", value_text(line, Units("inch")))
    assert float(shown[1]) == pytest.approx(converted(123.456, unit, inch), rel=1e-5)
    assert "(" not in value_text(line, Units())


def test_no_line_of_a_case_lacks_its_inch_units():
    for working in workings_of(tomllib.loads(PLAIN.read_text("utf-8"))).values():
        for line in (*working.lines, *(working.by_hand.lines if working.by_hand else ())):
            shown = value_text({"value": line.value, "unit": line.unit}, Units("inch"))
            assert ("(" in shown) == (line.unit not in ALIKE), line
    place = {"meaning": "hoop, from 1.0 to 25.4 mm", "origin": "finite elements", "source": "bore, 20 °C"}
    both = "hoop, from 1.0 to 25.4 mm (0.04 to 1.00 in) [finite elements: bore, 20 °C (68 °F)]"
    assert said_of(place, Units("inch")) == both


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
