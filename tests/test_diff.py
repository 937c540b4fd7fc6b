"""hoopwright diff A B: inputs that changed, margins that moved, rows new and lost. Invented numbers."""

import hashlib
import json
import tomllib
from pathlib import Path

import pytest

from hoopwright import status
from hoopwright.case.read import parse_case
from hoopwright.cli import main
from hoopwright.diff.inputs import ChangedInput, changed_inputs, shown_pair
from hoopwright.diff.margins import changed_cells
from hoopwright.diff.sides import with_log
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.pipeline import check_case

JACKET = (Path(__file__).parents[1] / "hoopwright" / "published" / "steel_jacket.toml").read_text("utf-8")
TIGHTER = JACKET.replace('outside_diameter = "40 mm"', 'outside_diameter = "40.010 mm"').replace(
    "friction_high = 0.2", "friction_high = 0.25"
)
DEMAND = '\n[demand]\naxial_force = "1 kN"\n'


def places(old, new):
    return [(c.table, c.key, c.old, c.new) for c in changed_inputs(tomllib.loads(old), tomllib.loads(new))]


def test_changed_inputs_stand_under_their_table_and_key():
    old = (
        'title = "a"\n[shell]\nwidth = "68 mm"\nrunout = "1 thou"\n[shell.form]\nlobes = 3\n[fit]\nx = 0.1'
    )
    new = 'title = "b"\n[shell]\nwidth = "70 mm"\n[shell.form]\nlobes = 4\n[fit]\nx = 0.1\ny = true'
    assert places(old, new) == [
        ("", "title", "a", "b"),
        ("[shell]", "width", "68 mm", "70 mm"),
        ("[shell]", "runout", "1 thou", None),
        ("[shell.form]", "lobes", 3, 4),
        ("[fit]", "y", None, True),
    ]


def test_reading_that_a_press_log_gained_is_a_changed_input(tmp_path):
    tables = {"press": {"log": "log.csv"}}
    (tmp_path / "log.csv").write_text("travel [mm], force [kN]\n5, 1.2\n")
    before = with_log(tables, tmp_path, "log.csv")
    assert changed_inputs(before, with_log(tables, tmp_path, "log.csv")) == []
    (tmp_path / "log.csv").write_text("travel [mm], force [kN]\n5, 1.2\n10, 2.4\n")
    (found,) = changed_inputs(before, with_log(tables, tmp_path, "log.csv"))
    assert (found.table, found.key) == ("[press]", "log")
    assert found.old.startswith("log.csv: 2 lines, SHA-256 ")
    assert found.new.startswith("log.csv: 3 lines, SHA-256 ")
    assert with_log(tables, tmp_path, "gone.csv") == tables
    assert with_log({"press": {}}, tmp_path, "") == {"press": {}}


def test_rows_are_matched_by_name_and_else_by_number():
    old = '[[load]]\nname = "a"\nf = 1\n[[load]]\nname = "b"\nf = 2\n[[bore]]\nd = 1\n[[bore]]\nd = 2'
    new = '[[load]]\nname = "b"\nf = 3\n[[load]]\nname = "a"\nf = 1\n[[bore]]\nd = 1'
    assert places(old, new) == [('[load "b"]', "f", 2, 3), ("[bore 2]", "d", 2, None)]


@pytest.mark.parametrize(
    ("old", "new", "same"),
    [
        ('"1 in"', '"25.4 mm"', True),
        ('"40 mm"', '"40.00 mm"', True),
        ('"40 mm"', '"40.001 mm"', False),
        ('"50 N*m"', '"50 N"', False),
        ('"26 tpi"', '"27 tpi"', False),
        ('"20 degC"', '"68 degF"', False),  # x is no key of a case: as a difference it would be 38 K
        ('"6061-T6"', '"7075-T6"', False),
        ("true", "1", False),
        ("[1, 2]", "[1, 2]", True),
    ],
)
def test_a_quantity_is_the_same_however_it_is_written(old, new, same):
    assert (places(f"x = {old}", f"x = {new}") == []) is same


@pytest.mark.parametrize(
    ("table", "key", "old", "new"),
    [
        ("temperatures", "use_most", '"20 degC"', '"68 degF"'),
        ("press.heat", "shell_most", '"100 °C"', '"212 degF"'),
        ("shell", "width", '"1 in"', '"25.4 mm"'),
        ("demand", "torque", '"1.3558179483314 N*m"', '"12 in*lbf"'),
        ("material.mine", "expansion", '"18e-6 /K"', '"10e-6 /degF"'),
        ("material.mine", "density", '"1 g/cm^3"', '"1000 kg/m^3"'),
        ("shell.bore.readings", "values", '"1 2.0 in"', '"25.4 50.8 mm"'),
        ("fit", "roughness_bore", '"1 thou"', '"25.4 um"'),
        ("temperatures", "oven_time", '"20 min"', '"1200 s"'),
    ],
)
def test_a_key_that_is_written_in_other_units_alone_is_no_change(table, key, old, new):
    head = f"[{table}]\n{key} = "
    assert places(head + old, head + new) == []
    (changed,) = places(head + old, head + new.replace('"', '"1', 1))
    assert changed[1] == key


@pytest.mark.parametrize(
    ("kind", "units", "old", "shown"),
    [
        ("temperature", "inch", "20 degC", "68.0 °F"),
        ("temperature", "metric", "50 °F", "10.0 °C"),
        ("temperature", "metric", "50 °C", "50 °C"),
        ("temperature_difference", "inch", "5 K", "9 °F"),
        ("expansion", "inch", "18e-6 /K", "10.0 · 10⁻⁶ /°F"),
        ("density", "inch", "2700 kg/m^3", "0.098 lb/in³"),
        ("lengths", "inch", "25.4 50.8 mm", "1.00000 in, 2.00000 in"),
        ("limits", "inch", ["25.4 mm", "2 in"], "1.00000 in, 2 in"),
        ("stress", "inch", "100 MPa", "14.50 ksi"),
        ("pitch", "metric", "26 tpi", "26 tpi"),
        ("text", "inch", "5 mm", "5 mm"),
    ],
)
def test_a_quantity_of_any_kind_is_shown_in_the_units_of_the_reader(kind, units, old, shown):
    assert shown_pair(ChangedInput("[a]", "b", old, None, kind), Units(units))[0] == shown


@pytest.mark.parametrize(
    ("units", "old", "new", "shown"),
    [
        ("metric", "1.5 in", "38 mm", ("38.1000 mm", "38 mm")),
        ("inch", "46.02 mm", "46.03 mm", ("1.81181 in", "1.81220 in")),
        ("inch", "40 mm", "40.00001 mm", ("40 mm", "40.00001 mm")),  # alike in inches
        ("inch", "1 kN", None, ("225 lbf", "not given")),
        ("metric", "20 degC", "68 degF", ("20 degC", "68 degF")),
        ("metric", 0.1, True, ("0.1", "true")),
    ],
)
def test_inputs_are_shown_in_the_units_of_the_reader(units, old, new, shown):
    assert shown_pair(ChangedInput("[shell]", "width", old, new), Units(units)) == shown


def row(name, *cells, state="holds"):
    found = [{"margin": m, "state": s, "where": {"stage": stage}} for stage, m, s in cells]
    return {"id": name, "title": name, "state": state, "cells": found}


def test_cells_that_moved_stand_apart_from_new_and_lost_ones():
    old = [
        row("yields", ("pressed", 0.5, "holds"), ("cups", 0.2, "holds"), ("oven", 1.0, "holds")),
        row("turns", ("in use", None, "holds")),
        row("gone", ("pressed", 1.0, "holds")),
        row("never", state="not assessed"),
    ]
    new = [
        row(
            "yields", ("pressed", 0.4, "holds"), ("cups", 0.2, "unresolved"), ("oven", 1.0 + 1e-8, "holds")
        ),
        row("turns", ("in use", 3.0, "holds")),
        row("gone", state="not assessed"),
        row("never", ("cups", -0.1, "fails")),
    ]
    found = {
        (c.id, c.stage): "moved" if c.moved else "new" if c.old is None else "lost"
        for c in changed_cells({"checks": old}, {"checks": new})
    }
    assert found == {
        ("yields", "pressed"): "moved",
        ("yields", "cups"): "moved",
        ("turns", "in use"): "moved",
        ("never", "cups"): "new",
        ("gone", "pressed"): "lost",
    }


@pytest.fixture(scope="module")
def found():
    return document(check_case(parse_case(JACKET)))


@pytest.fixture
def record(tmp_path, found):
    """The folder of a record with what a difference reads of it."""
    folder = tmp_path / "jacket-001"
    folder.mkdir()
    parts = {"record": {"kind": "repair"}, "versions": {}}
    files = {"jacket.toml": JACKET.encode(), "results.json": json.dumps(found | parts).encode()}
    for name, content in files.items():
        (folder / name).write_bytes(content)
    sums = "".join(f"{hashlib.sha256(c).hexdigest()}  {n}\n" for n, c in files.items())
    (folder / "SHA256SUMS").write_text(sums)
    return folder


def test_a_record_and_a_case_are_compared_cell_by_cell(record, found, tmp_path, capsys):
    case = tmp_path / "tighter.toml"
    case.write_text(TIGHTER + DEMAND, encoding="utf-8")
    assert main(["diff", str(record), str(case), "--json"]) == status.ALL_HOLD
    text = capsys.readouterr().out
    shown = json.loads(text)
    assert [(i["table"], i["key"], i["old"], i["new"]) for i in shown["inputs"]] == [
        ("[sleeve]", "outside_diameter", "40 mm", "40.010 mm"),
        ("[fit]", "friction_high", 0.2, 0.25),
        ("[demand]", "axial_force", None, "1 kN"),
    ]
    moved = {(m["id"], m["stage"]): (m["old"]["margin"], m["new"]["margin"]) for m in shown["margins"]}
    then = next(r for r in found["checks"] if r["id"] == "sleeve_yields")
    old, new = moved["sleeve_yields", "pressed"]
    assert old == next(c["margin"] for c in then["cells"] if c["where"]["stage"] == "pressed")
    # stress grows as the interference, here from 31.7 to 41.7 um
    assert (1.0 + old) / (1.0 + new) == pytest.approx(41.711 / 31.711, rel=0.02)
    assert "pushed_out" in {c["id"] for c in shown["new"]}
    assert shown["verdict"]["old"] == found["verdict"]
    assert (shown["a"]["kind"], shown["b"]["kind"]) == ("record", "case")
    assert main(["diff", str(case), str(record / "results.json"), "--units", "inch"]) == status.ALL_HOLD
    screen = capsys.readouterr().out
    assert max(map(len, screen.splitlines())) <= 80
    assert "1.57520 in -> 1.57480 in" in screen
    assert "Lost in B, judged in A alone" in screen


def test_a_record_and_itself_differ_in_nothing_and_a_touched_one_says_so(record, capsys):
    assert main(["diff", str(record), str(record)]) == status.ALL_HOLD
    screen = capsys.readouterr().out
    assert "No input changed." in screen
    assert "No margin moved." in screen
    assert "B   the same" in screen
    assert "changed since" not in screen
    with (record / "results.json").open("a") as results:
        results.write("\n")
    assert main(["diff", str(record), str(record)]) == status.ALL_HOLD
    assert "changed since the record was written: results.json" in capsys.readouterr().out


def test_what_cannot_be_compared_is_said_in_one_line(record, tmp_path, capsys):
    def refused(*names):
        assert main(["diff", *map(str, names)]) == status.BAD_INPUT
        (line,) = capsys.readouterr().err.splitlines()
        return line

    assert "no such file" in refused(record, tmp_path / "nothing.toml")
    assert "no such file" not in refused(tmp_path, record)
    assert "standard input" in refused(record, "-")
    results = json.loads((record / "results.json").read_text())
    (record / "results.json").write_text(json.dumps(results | {"verdict": "\x1b[2Jgone"}))
    assert main(["diff", str(record), str(record)]) == status.ALL_HOLD
    assert "\x1b" not in capsys.readouterr().out
    for part, said in (
        ({"record": {"kind": "comparison"}}, "comparison"),
        ({"checks": [{"id": 1}]}, "no margins by stage"),
        ({"checks": None}, "no margins by stage"),
        ({"verdict": 3}, "no margins by stage"),
    ):
        (record / "results.json").write_text(json.dumps(results | part))
        assert said in refused(record, record)
    (record / "results.json").write_text("{")
    assert "not JSON" in refused(record / "results.json", record)
