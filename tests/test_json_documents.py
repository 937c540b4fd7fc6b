"""Every document fits the schema in the wheel; faults are documents too; --units changes none."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import jsonschema
import pytest
from holding_case import COMPOUND, WARM, case_of
from small_cases import PARTS, ROUTE, SLIPS_IN, with_sleeve

import hoopwright
from hoopwright import cli, status
from hoopwright.cli import COMMAND_NAMES, main
from hoopwright.document.check import check_part
from hoopwright.document.heading import as_json
from hoopwright.document.plain import plain
from hoopwright.pipeline import check_case

ROOT = Path(__file__).parents[1]
SCHEMA = hoopwright.document_schema()
CASES = [p for p in sorted((ROOT / "cases").glob("*.toml")) if not p.name.endswith(".expected.toml")]
PUSHED = f"""
title = "Contradicted by its reading"
{PARTS}[press]
observed_peak = "200 kN"
[mesh]
elements_through_wall = 2
"""


def faults_of(document: dict, command: str) -> list[str]:
    """Where a document does not fit the definition of its command."""
    whole = {key: value for key, value in SCHEMA.items() if key != "oneOf"}
    validator = jsonschema.Draft202012Validator({**whole, "$ref": f"#/$defs/{command}"})
    return [f"{error.json_path}: {error.message[:200]}" for error in validator.iter_errors(document)]


def printed(capsys, *words: str) -> tuple[int, dict]:
    code = main([*words])
    return code, json.loads(capsys.readouterr().out)


@pytest.fixture
def small(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(SLIPS_IN + ROUTE, encoding="utf-8")
    return str(path)


def test_the_schema_is_one_and_has_a_definition_for_every_command_with_documents():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    parser = cli.build_parser()
    (commands,) = (a.choices for a in parser._actions if a.dest == "command")
    with_json = {name for name, one in commands.items() if "--json" in one.format_help()}
    assert with_json == {
        "check",
        "size",
        "press",
        "compare",
        "drawing",
        "sheet",
        "verify",
        "diff",
        "validate",
        "explain",
        "keys",
        "materials",
    }
    named = {one["$ref"].rpartition("/")[2] for one in SCHEMA["oneOf"]}
    assert named == with_json | {"curves", "maps", "faults"}  # of Python, of the page, of any command
    assert set(commands) == set(COMMAND_NAMES)


def test_keys_give_a_document_and_so_does_a_table_that_is_not_there(capsys):
    assert main(["keys", "press", "--json"]) == status.ALL_HOLD
    assert faults_of(json.loads(capsys.readouterr().out), "keys") == []
    assert main(["materials", "--json"]) == status.ALL_HOLD
    assert faults_of(json.loads(capsys.readouterr().out), "materials") == []
    assert main(["keys", "pres", "--json"]) == status.BAD_INPUT
    found = json.loads(capsys.readouterr().out)
    assert faults_of(found, "faults") == []
    assert found["faults"][0]["advice"] == "did you mean press?"


@pytest.mark.slow
def test_diff_and_validate_give_documents(small, tmp_path, capsys):
    other = tmp_path / "other.toml"
    other.write_text(
        Path(small).read_text("utf-8").replace("friction_low = 0.1\n", "friction_low = 0.11\n"),
        encoding="utf-8",
    )
    assert main(["diff", small, str(other), "--json", "--units", "inch"]) == status.ALL_HOLD
    found = capsys.readouterr().out
    assert faults_of(json.loads(found), "diff") == []
    main(["diff", small, str(other), "--json"])
    assert capsys.readouterr().out == found
    assert main(["validate", "--json"]) == status.ALL_HOLD
    assert faults_of(json.loads(capsys.readouterr().out), "validate") == []


def test_explain_gives_a_document(capsys):
    assert main(["explain", "--all", "--json"]) == status.ALL_HOLD
    assert faults_of(json.loads(capsys.readouterr().out), "explain") == []


def objects(schema):
    if isinstance(schema, dict):
        if schema.get("type") == "object" or "properties" in schema:
            yield schema
        for inner in schema.values():
            yield from objects(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from objects(inner)


def test_no_object_of_the_schema_lets_an_unknown_key_pass():
    found = list(objects(SCHEMA["$defs"]))
    assert len(found) > 50
    for one in found:
        if isinstance(one["additionalProperties"], dict):  # names that the case gives
            assert set(one) == {"type", "additionalProperties"}
            continue
        assert one["additionalProperties"] is False
        assert set(one["required"]) <= set(one["properties"])


@pytest.mark.parametrize(
    "command", ["check", "size", "compare", "press", pytest.param("sheet", marks=pytest.mark.slow)]
)
def test_commands_and_results_give_one_document_that_fits_whatever_the_units(command, small, capsys):
    found = getattr(hoopwright, command)(hoopwright.read_case(small))
    document = found.document()
    assert printed(capsys, command, small, "--json", "--units", "inch") == (found.status, document)
    assert found.status == status.ALL_HOLD
    assert faults_of(document, command) == []
    assert (document["case"]["file"], document["schema_version"]) == ("small.toml", 1)
    assert faults_of(document | {"surprise": 1}, command) != []
    less = copy.deepcopy(document)
    del less["case"]["sha256"]
    assert faults_of(less, command) != []


def test_a_document_of_what_a_reading_contradicts_fits():
    found = hoopwright.press(hoopwright.parse_case(PUSHED))
    assert faults_of(found.document(), "press") == []
    assert found.document()["inferred_fit"]["contradicts"] == "above"
    assert found.status == status.SOME_FAIL


def test_a_margin_without_end_is_not_taken_for_one_that_was_not_judged():
    results = check_case(hoopwright.parse_case(SLIPS_IN))
    rows = [plain(check_part(row)) for row in results.margins]
    cells = [cell for row in rows for cell in row["cells"]]
    endless = [one for one in (*rows, *cells) if one["margin_without_end"]]
    rest = [one for one in rows if one["state"] == "not assessed"]
    assert endless
    assert rest
    assert all(one["margin"] is None and one["state"] == "holds" for one in endless)
    assert all(one["margin"] is None and not one["margin_without_end"] for one in rest)


def test_faults_of_a_case_are_a_document_with_the_same_status(tmp_path, capsys):
    path = tmp_path / "bad.toml"
    path.write_text(SLIPS_IN.replace('"16 mm"', '"16"', 1).replace("0.2", "-1"), encoding="utf-8")
    for command in ("check", "size", "compare", "press"):
        assert main([command, str(path)]) == status.BAD_INPUT
        plain_text = capsys.readouterr()
        code = main([command, str(path), "--json"])
        shown = capsys.readouterr()
        document = json.loads(shown.out)
        assert (code, shown.err, plain_text.out) == (status.BAD_INPUT, plain_text.err, "")
        assert faults_of(document, "faults") == []
        assert (document["command"], document["status"]) == (command, status.BAD_INPUT)
        assert document["case"] == {"file": "bad.toml"}
        assert [(f["table"], f["key"]) for f in document["faults"]] == [
            ("[shell]", "width"),
            ("[fit]", "friction_high"),
        ]
        assert all(f["problem"] and f["advice"] for f in document["faults"])


def test_faults_of_a_record_are_a_document(tmp_path, capsys):
    code, document = printed(capsys, "verify", str(tmp_path), "--json")
    assert code == document["status"] == status.BAD_INPUT
    assert faults_of(document, "faults") == []
    assert "not a record" in document["faults"][0]["problem"]


def test_what_cannot_be_solved_or_had_no_memory_is_a_document(small, capsys, monkeypatch):
    from hoopwright.fem.errors import SolveError

    for error, words in ((SolveError("no end"), "not solved: no end"), (MemoryError(), "memory")):

        def fail(_case, error=error):
            raise error

        monkeypatch.setattr("hoopwright.pipeline.check_case", fail)
        code, document = printed(capsys, "check", small, "--json")
        assert code == document["status"] == status.NOT_SOLVED
        assert words in document["faults"][0]["problem"]
        assert faults_of(document, "faults") == []


@pytest.mark.parametrize(
    ("words", "command"),
    [
        (("check", "--json"), "check"),
        (("check", "x.toml", "--json", "--unit", "inch"), "check"),
        (("size", "x.toml", "--json", "--cut", "both"), "size"),
        (("check", "-", "-", "--json"), "check"),
        (("--json",), None),
    ],
)
def test_faults_of_the_arguments_are_a_document(words, command, capsys):
    with pytest.raises(SystemExit) as ended:
        main(words)
    shown = capsys.readouterr()
    document = json.loads(shown.out)
    assert ended.value.code == document["status"] == status.BAD_INPUT
    assert document["command"] == command
    assert document["faults"][0]["problem"] in shown.err
    assert faults_of(document, "faults") == []


@pytest.mark.parametrize(
    "words",
    [
        ("check", "x.toml", "--jso"),
        ("check", "x.toml", "--unit", "inch"),
        ("size", "x.toml", "--fig", "x.png"),
        ("--vers",),
        ("verify", "x", "--js"),
    ],
)
def test_abbreviated_options_are_refused(words, capsys):
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == status.BAD_INPUT
    shown = capsys.readouterr()
    assert "error: " in shown.err
    assert shown.out == ""


def test_several_cases_are_one_document_a_line_and_the_worst_sets_the_status(small, tmp_path, capsys):
    loose = tmp_path / "loose.toml"
    loose.write_text(with_sleeve(42.002), encoding="utf-8")
    code = main(["check", small, str(tmp_path / "none.toml"), str(loose), "--json"])
    found = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert code == status.SOME_FAIL
    assert [one["case"]["file"] for one in found] == ["small.toml", "none.toml", "loose.toml"]
    kinds = ["check" if "checks" in one else "faults" for one in found]
    assert kinds == ["check", "faults", "check"]
    assert found[2]["state"] == "fails"
    for one, kind in zip(found, kinds, strict=True):
        assert faults_of(one, kind) == []


def test_a_case_has_one_document_even_where_its_figure_cannot_be_written(
    small, tmp_path, capsys, monkeypatch
):
    compared = hoopwright.Compared(hoopwright.read_case(small), 0, '{"state": "holds"}', ())
    monkeypatch.setattr("hoopwright.interface.compare", lambda *_given: compared)
    monkeypatch.setattr("hoopwright.record.figures.compare.figure", lambda *_given: None)
    monkeypatch.setattr("hoopwright.record.figures.save.rendered", lambda *_given: b"")
    figure = tmp_path / "there.png"
    figure.write_text("already")
    code = main(["compare", small, "--json", "--figure", str(figure)])
    shown = capsys.readouterr()
    assert code == status.NOT_WRITTEN
    assert json.loads(shown.out) == {"state": "holds"}
    assert "already exists" in shown.err


def test_a_name_that_is_no_text_is_written_all_the_same(tmp_path):
    case = hoopwright.parse_case(SLIPS_IN, file=str(tmp_path / ("n" * 300 + "\udcff.toml")))
    name = hoopwright.check(case).document()["case"]["file"]
    assert name == "n" * 300 + "\\udcff.toml"
    as_json({"name": name}).encode("utf-8")


@pytest.mark.slow
def test_documents_with_a_compound_fit():
    case = case_of(WARM, COMPOUND)
    assert faults_of(hoopwright.check(case).document(), "check") == []


"""A demo that turns under its load, which every command solves for half a minute."""


@pytest.mark.slow
@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_documents_of_the_demos_fit_with_other_arguments(path, capsys):
    """Their other documents are held against the schema where every command is read for foreign units."""
    for command, *more in (("size", "--cut", "bore"), ("press", "--plastic")):
        _, document = printed(capsys, command, str(path), *more, "--json")
        assert faults_of(document, command) == []


@pytest.mark.slow
def test_documents_of_verify_fit(small, tmp_path, capsys):
    main(["record", small, "--out", str(tmp_path / "records")])
    (folder,) = (tmp_path / "records").iterdir()
    capsys.readouterr()
    assert faults_of(printed(capsys, "verify", str(folder), "--json")[1], "verify") == []
    results = json.loads((folder / "results.json").read_text(encoding="utf-8"))
    results["mesh"]["refinements"] = 7
    (folder / "results.json").write_text(json.dumps(results), encoding="utf-8")
    code, document = printed(capsys, "verify", str(folder), "--json")
    assert code == status.SOME_FAIL
    assert document["moved"]
    assert faults_of(document, "verify") == []
