"""Keys of a case: what readers ask for, the listing and the schema are one thing; keys without effect."""

from __future__ import annotations

import datetime
import json
import re
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from strategies import Document, toml, valid

from hoopwright import status
from hoopwright.case import CaseError, parse_case
from hoopwright.case.faults import Faults
from hoopwright.case.keys import NAME
from hoopwright.case.listing import SYSTEMS, example_text, listing
from hoopwright.case.read import CASE
from hoopwright.case.schema import FILE, LINE, schema, schema_text
from hoopwright.case.table import Table
from hoopwright.cli import main
from hoopwright.geometry.press_in_seats import PRESS_IN_SEATS
from hoopwright.screen.keys import report
from hoopwright.starters import PIECES, starter_text

DEMOS = [p for p in sorted(Path("cases").rglob("*.toml")) if not p.name.endswith(".expected.toml")]
STARTERS = {f"{piece}, {units}": (piece, units) for piece in PIECES for units in SYSTEMS}
VALIDATOR = jsonschema.Draft7Validator(schema(CASE))


def files() -> dict[str, str]:
    """Every demo and every starter in both trades, by name."""
    demos = {path.stem: path.read_text(encoding="utf-8") for path in DEMOS}
    return demos | {name: starter_text(*starter) for name, starter in STARTERS.items()}


FILES = files()


def everything() -> Document:
    """A case with the keys that neither demos nor starters have switched on."""
    found = tomllib.loads(starter_text("crank-shell", "metric"))
    found["material"] = {
        "own": {"young_modulus": "69 GPa", "poisson_ratio": 0.33, "expansion": "23.1e-6 /K"}
        | {"yield_strength": "240 MPa", "ultimate_strength": "260 MPa", "density": "2710 kg/m^3"}
        | {"heat_limit": "180 degC", "yield_at_heat_limit": "170 MPa"}
        | {"condition": "cast", "source": "made up", "basis": "made up"}
    }
    found["shell"] |= {"material": "own", "stock": "bar 60 mm"}
    found["shell"]["strength"] = [
        {"from": "0 mm", "to": "9 mm", "material": "7075-T6"},
        {"from": "64 mm", "to": "73 mm", "yield_strength": "250 MPa"},
    ]
    found["record"] = {"paper": "A4"}
    found["proof"] = {"push": "3 kN", "slipped": False}
    found["drawing"] = {
        "title": "Sleeve",
        "number": "S-1",
        "revision": "A",
        "drawn_by": "nobody",
        "projection": "third angle",
        "general_tolerance": "ISO 2768-m",
        "edges": "ISO 13715: outside -0.3",
        "sleeve": {"length_plus_minus": "0.1 mm", "bore_plus_minus": "0.1 mm", "squareness": "0.02 mm"}
        | {"roundness": "5 um", "bore_runout": "0.02 mm", "thread_runout": "0.05 mm", "texture": "Ra 3.2"}
        | {"incomplete_thread": "2 mm", "thread_class": "6H", "blank": "tube", "condition": "drawn"},
        "bore": {"squareness": "0.05 mm", "roundness": "10 um"},
    }
    found["preset"] = {"gauge": {"micrometer": "outside micrometer"}}
    for part, size, warm in (("shell", "54.002", "23 degC"), ("sleeve", "41.050", "22 degC")):
        del found[part]["outside_diameter"]
        station = {
            "z": "30 mm",
            "values": f"{size} {size} mm",
            "angles": "0 90 deg",
            "part_temperature": warm,
        }
        land = {"from": "0 mm", "to": "73 mm", "gauge": "micrometer", "readings": [station]}
        found[part]["outside"] = [land]
    del found["sleeve"]["outside_plus_minus"]
    own_thread = {
        "major": "34.80 mm",
        "pitch": "24 tpi",
        "minor": "33.7 mm",
        "hand": "right",
        "limits": {"pitch": ["34.11 mm", "34.28 mm"], "minor": ["33.65 mm", "33.89 mm"]}
        | {"cup_pitch": ["33.95 mm", "34.08 mm"], "cup_major": ["34.59 mm", "34.77 mm"]},
    }
    bore = found["sleeve"]["bore"]
    bore[0]["thread"] = own_thread
    del bore[2]["thread"]
    bore[2] |= {"diameter": "33 mm", "bored_after": own_thread | {"hand": "left"}}
    found["service"]["side_impact"] = {
        "force": "400 N",
        "side": "left",
        "radius": "90 mm",
        "angle": "30 deg",
    }
    found["route"] += [
        {"name": "Seat", "kind": "larger seat", "seat": "41 mm", "material": "7075-T6"}
        | {"part_bore": "34.9 mm", "interference": "40 um"}
    ]
    return found


def json_values(value: Any) -> Any:
    """Values of a TOML file as an editor hands them to a schema: dates are texts."""
    if isinstance(value, dict):
        return {key: json_values(one) for key, one in value.items()}
    if isinstance(value, list):
        return [json_values(one) for one in value]
    return value.isoformat() if isinstance(value, datetime.date | datetime.time) else value


def schema_faults(text: str) -> list[str]:
    return [error.message for error in VALIDATOR.iter_errors(json_values(tomllib.loads(text)))]


def reader_faults(text: str) -> list[str]:
    try:
        parse_case(text)
    except CaseError as error:
        return str(error).splitlines()
    return []


# -- the readers and the declarations -----------------------------------------------------------


def path_of(table: Table) -> str:
    above = "" if table.parent is None else path_of(table.parent)
    return f"{above}.{table.declared.name}".lstrip(".")


@pytest.fixture
def asked(monkeypatch):
    """Every key that readers ask for, with the path of its table."""
    found = set()
    has = Table.has

    def noted(self: Table, key: str) -> bool:
        any_name = any(one.name == NAME for one in (*self.declared.keys, *self.declared.tables))
        found.add((path_of(self), NAME if any_name else key))
        return has(self, key)

    monkeypatch.setattr(Table, "has", noted)
    return found


def declared() -> set[tuple[str, str]]:
    return {(path, inner.name) for path, keys in CASE.walk() for inner in (*keys.keys, *keys.tables)}


def test_every_key_that_a_reader_asks_for_is_declared_and_every_declared_one_is_asked_for(asked):
    for text in (*FILES.values(), toml(everything())):
        parse_case(text)

    @given(valid())
    @settings(max_examples=40, derandomize=True, database=None, deadline=None)
    def read(document: Document) -> None:
        parse_case(toml(document))

    read()
    assert asked - declared() == set()
    assert declared() - asked == set()


def test_a_key_that_is_not_declared_cannot_be_read():
    table = Table({"colour": "red"}, "[mesh]", Faults("case"), CASE.table("mesh"))
    with pytest.raises(KeyError, match="colour"):
        table.get("colour")
    with pytest.raises(KeyError, match="paint"):
        table.empty_subtable("paint")


def test_every_declared_key_is_listed_with_a_meaning_and_stands_in_the_schema():
    text, checked = report(list(CASE.walk()), "metric"), schema_text(CASE)
    tables = {table["table"]: table for table in listing(CASE)}
    for path, keys in CASE.walk():
        for key in keys.keys:
            assert key.meaning
            assert f"\n  {key.name} = " in text
            (entry,) = [one for one in tables[path]["keys"] if one["key"] == key.name]
            assert entry["kind"]
            assert entry["example"]["metric"]
            assert key.name == NAME or f'"{key.name}": ' in checked
    assert max(map(len, text.splitlines())) < 80


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_example_and_the_default_of_every_key_are_read_without_a_fault(system):
    for path, keys in CASE.walk():
        for key in keys.keys:
            if key.kind == "limits" or (key.kind == "choice" and not key.options):
                continue
            units = "" if key.name == "units" else f"units = '{system}'"
            text = f"{units}\n{key.name} = {example_text(key, system)}"
            faults = Faults("case")
            table = Table(tomllib.loads(text), f"[{path}]", faults, keys)
            assert table.get(key.name) is not None
            if not key.required:
                Table({}, f"[{path}]", faults, keys).get(key.name)
            assert faults.found == []


def test_examples_for_an_inch_reader_have_no_unit_of_the_other_trade():
    examples = re.findall(r' = (".*")', report(list(CASE.walk()), "inch"))
    assert len(examples) > 90
    odd = [one for one in examples if re.search(r"[0-9] (mm|um|N|kN|N\*m|MPa|GPa|bar|degC|K)\b", one)]
    names = {f'"{name}"' for name in PRESS_IN_SEATS}
    assert [one for one in odd if " x " not in one and one not in names] == []


# -- the schema ---------------------------------------------------------------------------------


def test_the_schema_is_one():
    jsonschema.Draft7Validator.check_schema(json.loads(schema_text(CASE)))


@pytest.mark.parametrize("name", FILES)
def test_every_demo_and_starter_fits_the_schema_and_has_no_key_without_effect(name):
    assert schema_faults(FILES[name]) == []
    assert parse_case(FILES[name]).without_effect == ()


@given(valid())
@settings(max_examples=40, derandomize=True, database=None, deadline=None)
def test_what_the_reader_accepts_fits_the_schema(document):
    assert schema_faults(toml(document)) == []


def test_a_case_with_the_rarer_keys_fits_the_schema():
    assert reader_faults(toml(everything())) == []
    assert schema_faults(toml(everything())) == []


def put(*path: Any) -> Any:
    """Change a document: all but the last are the path of a value, the last is the value."""
    *where, name, value = path

    def change(document: Document) -> None:
        for step in where:
            document = document[step]
        document[name] = value

    return change


def drop(*path: Any) -> Any:
    *where, name = path

    def change(document: Document) -> None:
        for step in where:
            document = document[step]
        del document[name]

    return change


BY_SCHEMA = {
    "misspelled key": put("shell", "widht", "73 mm"),
    "misspelled table": put("presss", {"capacity": "50 kN"}),
    "key of another table": put("fit", "capacity", "50 kN"),
    "key in a wrong row": put("sleeve", "bore", 0, "plus_minus", "5 um"),
    "title left out": drop("title"),
    "required table left out": drop("fit"),
    "required key left out": drop("sleeve", "length"),
    "neither diameter nor lands": drop("shell", "bore_diameter"),
    "both diameter and lands": put("shell", "bore", [{"from": "0 mm", "to": "73 mm", "diameter": "41 mm"}]),
    "neither depth nor diameter of the damage": drop("boring", "damage_depth"),
    "two accuracies of a gauge": put("gauge", "micrometer", "accuracy", "2 um"),
    "cups on no side": lambda document: [document["cups"].pop(side) for side in ("left", "right")],
    "no load": drop("service", "pedalling_test"),
    "tubes and clamp": put("service", "clamped", {"from": "20 mm", "to": "50 mm"}),
    "bare number for a size": put("shell", "width", 73),
    "size without its unit": put("shell", "width", "73"),
    "text for a plain number": put("fit", "friction_low", "0.1"),
    "plain number with a unit": put("fatigue", "shell", "slope", "7 mm"),
    "friction of nought": put("fit", "friction_low", 0.0),
    "fraction for a whole number": put("size", "readings", 2.5),
    "number above its limit": put("mesh", {"elements_through_wall": 40}),
    "flag as a text": put("sample", "yes"),
    "unknown choice": put("service", "pedalling_test", "touring"),
    "choice with a capital": put("service", "left_cup", "hold", "Clamped"),
    "single table for a list": put("route", {"name": "Sleeve", "kind": "sleeve"}),
    "table for a value": put("shell", "width", {"mm": 73}),
}
BY_READER = {
    "unit of another kind": put("shell", "width", "73 N"),
    "unit that nobody knows": put("shell", "width", "73 parsecs of it"),
    "size below nought": put("shell", "width", "-73 mm"),
    "unknown material": put("shell", "material", "unobtainium"),
    "gauge not described": put("size", "gauge", "calliper"),
    "low friction above high": put("fit", "friction_low", 0.4),
    "sleeve longer than the shell": put("sleeve", "length", "200 mm"),
    "end before start": put("service", "left_cup", "to", "-1 mm"),
}


@pytest.mark.parametrize("fault", [*BY_SCHEMA, *BY_READER])
def test_a_typical_fault_fails_the_schema_or_the_reader(fault):
    document = tomllib.loads(starter_text("crank-shell", "metric"))
    assert schema_faults(toml(document)) == []
    (BY_SCHEMA | BY_READER)[fault](document)
    assert reader_faults(toml(document))
    assert bool(schema_faults(toml(document))) == (fault in BY_SCHEMA)


# -- the command --------------------------------------------------------------------------------


def test_one_table_is_listed_with_those_inside_it(capsys):
    assert main(["keys", "press"]) == status.ALL_HOLD
    out = capsys.readouterr().out
    assert re.findall(r"(?m)^\[.*", out) == ["[press]", "[press.heat]"]
    assert '  ram_diameter = "50 mm"\n      of a hydraulic press' in out
    assert main(["keys", "[[shell.bore]]", "--units", "inch"]) == status.ALL_HOLD
    out = capsys.readouterr().out
    assert re.findall(r"(?m)^\[.*", out) == ["[[shell.bore]]", "[[shell.bore.readings]]"]
    assert 'to = "0.787 in"' in out


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["pres"], "pres: no such table in a case; did you mean press?\n"),
        (["press", "--schema"], "hoopwright keys: --schema is of the whole case; leave the table out\n"),
        (["--out", "x.json"], "hoopwright keys: --out goes with --schema\n"),
    ],
)
def test_what_does_not_go_together_gets_one_line(words, line, capsys):
    assert main(["keys", *words]) == status.BAD_INPUT
    assert capsys.readouterr() == ("", line)


def test_keys_as_data_do_not_hang_on_units(capsys):
    shown = []
    for words in ([], ["--units", "inch"]):
        assert main(["keys", "demand", "--json", *words]) == status.ALL_HOLD
        shown.append(json.loads(capsys.readouterr().out))
    assert shown[0] == shown[1]
    (table,) = shown[0]["tables"]
    assert table["at_least_one_of"] == [["axial_force", "torque"]]
    assert table["keys"][0]["example"] == {"metric": '"2 kN"', "inch": '"450 lbf"'}


def test_a_new_case_names_the_schema_that_is_written_beside_it(tmp_path, capsys):
    mine, beside = tmp_path / "mine.toml", tmp_path / FILE
    assert main(["new", str(mine), "--piece", "plain"]) == status.ALL_HOLD
    assert mine.read_text(encoding="utf-8").startswith(f"{LINE}\n# A plain boss")
    written = beside.read_text(encoding="utf-8")
    assert main(["keys", "--schema"]) == status.ALL_HOLD
    assert capsys.readouterr().out.endswith(written)
    beside.write_text(written.replace("Young", "Old"), encoding="utf-8")
    assert main(["new", str(tmp_path / "other.toml")]) == status.ALL_HOLD
    assert beside.read_text(encoding="utf-8") == written, "an older schema is brought up to date"
    beside.write_text("{}", encoding="utf-8")
    assert main(["new", str(tmp_path / "third.toml")]) == status.ALL_HOLD
    assert "left as it is" in capsys.readouterr().err
    assert beside.read_text(encoding="utf-8") == "{}"
    assert main(["keys", "--schema", "--out", str(beside)]) == status.ALL_HOLD
    assert beside.read_text(encoding="utf-8") == written
