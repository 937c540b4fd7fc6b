"""Verify recomputes a record and names whatever differs."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest
from record_cases import copy_record, results, write_case

from hoopwright import status
from hoopwright.case.read import read_case
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.pipeline import check_case
from hoopwright.record.document import record_document
from hoopwright.record.gather import gather
from hoopwright.record.progress import silent
from hoopwright.record.reader import read_record
from hoopwright.record.verify import ABSENT, PROVENANCE_PREFIXES, SEARCH_TOLERANCES, differences

ROOT = Path(__file__).resolve().parents[1]


def edit(record: Path, old: str, new: str) -> None:
    path = record / "results.json"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_an_untouched_record_verifies_and_an_edited_number_is_reported(tmp_path, capsys):
    record = copy_record(tmp_path)
    assert main(["verify", str(record)]) == 0
    assert "numbers are reproduced" in capsys.readouterr().out
    growth = results()["fit"]["outside_growth_um"]
    edit(record, f'"outside_growth_um": {growth!r}', f'"outside_growth_um": {1.01 * growth!r}')
    assert main(["verify", str(record)]) == 1
    output = capsys.readouterr().out
    assert "1 of its values not reproduced" in output
    line = next(row for row in output.splitlines() if "fit.outside_growth_um" in row)
    assert f"now {growth:.9g}" in line
    assert "(-9.90e-03)" in line
    assert "Changed since the record was written: results.json" in output


@pytest.mark.slow
def test_a_log_from_another_folder_is_copied_beside_the_case_and_found_again(tmp_path, capsys):
    (tmp_path / "job").mkdir()
    case = write_case(tmp_path / "job")
    os.rename(tmp_path / "job" / "log.csv", tmp_path / "log.csv")
    case.write_text(case.read_text(encoding="utf-8").replace('"log.csv"', '"../log.csv"'), encoding="utf-8")
    assert main(["record", str(case), "--out", str(tmp_path / "out")]) in (0, 1)
    assert (tmp_path / "out" / "hub-001" / "log.csv").read_bytes() == (tmp_path / "log.csv").read_bytes()
    shutil.rmtree(tmp_path / "job")
    os.remove(tmp_path / "log.csv")
    capsys.readouterr()
    assert main(["verify", str(tmp_path / "out" / "hub-001")]) == 0


def test_another_version_is_reported_and_a_changed_case_is_detected(tmp_path, capsys):
    record = copy_record(tmp_path)
    edit(record, '"typst": "', '"typst": "0.0.')
    edit(record, '"name": "hoopwright",\n    "version": "', '"name": "hoopwright",\n    "version": "0.0.')
    case = record / "hub.toml"
    case.write_text(case.read_text(encoding="utf-8").replace("40.040 mm", "40.041 mm"), encoding="utf-8")
    assert main(["verify", str(record), "--json"]) == 1
    found = json.loads(capsys.readouterr().out)
    assert {m["name"] for m in found["made_with_other"]} == {"hoopwright", "typst"}
    assert found["case_is_another"]
    assert {"hub.toml", "results.json"} <= set(found["changed_files"])
    moved = {m["path"]: m for m in found["moved"]}
    tight = moved["fit.diametral_interference_um.nominal"]
    assert tight["now"] - tight["record"] == pytest.approx(1.0, abs=1e-6)
    assert not any(path.startswith(("versions", "tool")) for path in moved)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"{", "not JSON"),
        (b"", "not JSON"),
        (b"\xff\xfe", "not UTF-8"),
        (b'{"a": NaN}', "NaN is not a number in JSON"),
        (b"[" * 100_000, "nested too deeply"),
        (b"[1, 2]", "not the results"),
        (b'{"tool": 3, "case": {}, "record": {}, "versions": {}}', "not the results"),
    ],
)
def test_unreadable_results_give_one_clear_error_line(content, words, tmp_path, capsys):
    record = copy_record(tmp_path)
    (record / "results.json").write_bytes(content)
    assert main(["verify", str(record)]) == 2
    output = capsys.readouterr().err
    assert "results.json: damaged or changed by hand" in output
    assert words in output
    assert len(output.splitlines()) == 1


def test_a_folder_that_is_not_a_record_gives_one_clear_error_line(tmp_path, capsys):
    record = copy_record(tmp_path)
    os.remove(record / "hub.toml")
    empty = tmp_path / "empty"
    empty.mkdir()
    for folder, words in (
        (record, "no case file in it"),
        (empty, "not a record"),
        (tmp_path / "x", "not a folder"),
    ):
        assert main(["verify", str(folder)]) == 2
        output = capsys.readouterr().err
        assert words in output
        assert len(output.splitlines()) == 1


def test_checksum_paths_outside_the_record_are_not_followed(tmp_path):
    record = copy_record(tmp_path)
    (tmp_path / "secret").write_text("x")
    (record / "SHA256SUMS").write_text("0" * 64 + "  ../secret\nnonsense\n")
    kept = read_record(record)
    assert (kept.changed, kept.missing) == (("SHA256SUMS",), ())
    os.remove(record / "SHA256SUMS")
    assert read_record(record).missing == ("SHA256SUMS",)


def test_differences_name_the_path_and_allow_only_the_stated_tolerance():
    one, two = {"id": "one", "m": 1.0}, {"id": "two", "m": 2.0}
    old = {
        "fit": {"a_um": 1.0, "b_um": 2.0, "text": "x"},
        "checks": [one, two],
        "window": {"width_um": 10.0},
        "tool": {"version": "1"},
    }
    same = {
        "fit": {"a_um": 1.0 + 5e-7, "b_um": 2.0, "text": "x"},
        "checks": [two, one],
        "window": {"width_um": 10.02},
        "tool": {"version": "2"},
    }
    assert list(differences(old, same)) == []
    new = {
        "fit": {"a_um": 1.0 + 5e-6, "b_um": None, "text": "y"},
        "checks": [{"id": "one", "m": 1.1}],
        "window": {"width_um": 10.1},
        "tool": {"version": "2"},
        "more": 1,
    }
    moved = {m.path: (m.old, m.new) for m in differences(old, new)}
    assert set(moved) == {
        "fit.a_um",
        "fit.b_um",
        "fit.text",
        "checks.one.m",
        "checks.two",
        "window.width_um",
        "more",
    }
    assert moved["more"] == (ABSENT, 1)


def paths(value: object, path: str = "") -> list[str]:
    """The path of every scalar, as verify names it where rows are keyed by position."""
    inside = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    found = [p for key, inner in inside for p in paths(inner, f"{path}.{key}" if path else str(key))]
    return found if isinstance(value, dict | list) else [path]


@pytest.fixture(scope="module")
def measured_document(tmp_path_factory) -> dict:
    """Content of results.json where both parts are measured, so that it states a decision."""
    path = write_case(tmp_path_factory.mktemp("measured"))
    text = path.read_text(encoding="utf-8")
    for old in ('outside_diameter = "40.040 mm"\n', 'outside_plus_minus = "3 um"\n', 'log = "log.csv"\n'):
        assert old in text
        text = text.replace(old, "")
    land = """[[sleeve.outside]]
from = "0 mm"
to = "32 mm"
gauge = "two-point"
readings = [{ z = "6 mm", values = "40.040 40.041 40.040 mm" }]
[fit]
"""
    text = text[: text.index("[service.clamped]")] + text[text.index("[mesh]") :]
    path.write_text(text.replace("[fit]\n", land), encoding="utf-8")
    return record_document(gather(check_case(read_case(path)), Units(), silent))


@pytest.mark.parametrize("prefix", [*SEARCH_TOLERANCES, *PROVENANCE_PREFIXES])
def test_a_path_with_a_rule_of_its_own_is_in_the_document(prefix, measured_document):
    """A key that was renamed would lose its tolerance without a word."""
    assert any(path.startswith(prefix) for path in paths(measured_document))


def test_true_differs_from_one_and_a_number_from_its_text():
    assert len(list(differences({"a": True, "b": 1.0}, {"a": 1, "b": "1.0"}))) == 2


def test_a_comparison_is_recorded_and_verified_like_a_repair(tmp_path, capsys):
    case = tmp_path / "bush.toml"
    text = (ROOT / "hoopwright" / "published" / "bronze_bush.toml").read_text(encoding="utf-8")
    case.write_text(text + "\n[mesh]\nelements_through_wall = 2\n", encoding="utf-8")
    names = ["E355 steel", "7075-T6"]
    assert main(["compare", str(case), "--sleeves", *names, "--out", str(tmp_path / "out")]) == (
        status.AS_FAR_AS_JUDGED
    )
    record = tmp_path / "out" / "bush-compared-001"
    found = json.loads((record / "results.json").read_text(encoding="utf-8"))
    assert (found["record"]["kind"], found["record"]["sleeves"]) == ("comparison", names)
    assert (record / "record.pdf").read_bytes().startswith(b"%PDF")
    capsys.readouterr()
    assert main(["verify", str(record)]) == 0
    best = found["routes"][0]["checks"][0]["margin"]
    edit(record, f'"margin": {best!r}', f'"margin": {best + 0.5!r}')
    assert main(["verify", str(record)]) == 1
    assert "margin: record" in capsys.readouterr().out
