"""The command as a person meets it: text, JSON, exit status, one line for a fault."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from hoopwright import status
from hoopwright.case.schema import LINE
from hoopwright.cli import main
from hoopwright.display import margin_text
from hoopwright.display.rows import interval_text
from hoopwright.starters import starter_text

ROOT = Path(__file__).parents[1]
TRIKE = str(ROOT / "cases" / "cargo_trike_crank_shell.toml")


@pytest.fixture
def starter(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(starter_text("plain"), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (0.104, "+0.10"),
        (-1.0, "-1.00"),
        (99.99, "+99.99"),
        (565.04, "+565"),
        (1e9, ">999"),
        (float("inf"), "no loss"),
    ],
)
def test_margins_far_out_keep_to_their_column(value, shown):
    assert margin_text(value) == shown


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (-1.0, None, " -1.00 to   >999"),
        (-1.0, 120.04, " -1.00 to   +120"),
        (-1.0, -0.24, " -1.00 to  -0.24"),
        (98.76, 1612.46, "+98.76 to   >999"),
        (0.5, 0.501, ""),
        (None, None, ""),
    ],
)
def test_intervals_far_out_keep_to_their_column(low, high, shown):
    assert interval_text({"margin_low": low, "margin_high": high}, width=6) == shown


def test_starter_file_checks_as_it_is(tmp_path, capsys):
    path = tmp_path / "mine.toml"
    assert main(["new", str(path)]) == status.ALL_HOLD
    assert path.read_text(encoding="utf-8") == f"{LINE}\n{starter_text()}"
    assert main(["check", str(path)]) == status.AS_FAR_AS_JUDGED
    out = capsys.readouterr().out
    assert "\nSample values: Holds as far as judged" in out


def test_new_never_overwrites(starter, capsys):
    assert main(["new", str(starter)]) == 4
    assert starter.read_text(encoding="utf-8") == starter_text("plain")
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_json_has_what_machines_need(capsys):
    main(["check", TRIKE, "--json"])
    document = json.loads(capsys.readouterr().out)
    assert document["tool"]["name"] == "hoopwright"
    assert len(document["case"]["sha256"]) == 64
    assert set(document["fit"]["diametral_interference_um"]) >= {"least", "nominal", "greatest"}
    assert set(document["fit"]["contact_pressure_MPa"]) >= {"mean", "least_local", "greatest_local"}
    assert document["fit"]["bore_closure_um"][0]["z_mm"] == 0.0
    closure = document["fit"]["bore_closure_um"]
    middle = 0.5 * (closure[0]["z_mm"] + closure[-1]["z_mm"])
    at_middle = next(c["nominal"] for c in closure if c["z_mm"] == pytest.approx(middle))
    assert document["fit"]["bore_closure_mid_sleeve_um"] == pytest.approx(at_middle)
    assert isinstance(document["closed_form"]["applies"], bool)
    for check in document["checks"]:
        assert {
            "id",
            "title",
            "demand",
            "capacity",
            "unit",
            "factor",
            "margin",
            "numerical_error",
            "state",
            "where",
            "basis",
            "stages",
            "cells",
        } <= set(check)
        assert {"body", "r_mm", "z_mm", "stage", "state"} <= set(check["where"])
        assert {cell["where"]["stage"] for cell in check["cells"]} <= set(check["stages"])
    assert document["verdict"]


def test_failing_case_exits_one(starter):
    starter.write_text(starter_text("plain").replace('"42.045 mm"', '"42.005 mm"'), encoding="utf-8")
    assert main(["check", str(starter)]) == 1


def test_bad_case_is_one_line_and_exits_two(starter, capsys):
    starter.write_text(starter_text("plain").replace('width = "50 mm"', 'width = "50"'), encoding="utf-8")
    assert main(["check", str(starter)]) == 2
    err = capsys.readouterr().err.strip()
    assert err.startswith(f"{starter}: [shell] width")
    assert "Traceback" not in err


def test_unsolved_model_exits_three(starter, capsys, monkeypatch):
    import hoopwright.fem.complementarity

    monkeypatch.setattr(hoopwright.fem.complementarity, "MAX_BLOCK_PIVOTS", 0)
    assert main(["check", str(starter)]) == 3
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_contradiction_with_lame_exits_three(capsys, monkeypatch):
    import hoopwright.comparison as comparison

    true = comparison.contact_pressure
    monkeypatch.setattr(comparison, "contact_pressure", lambda **k: 1.05 * true(**k))
    assert main(["check", str(ROOT / "hoopwright" / "published" / "bronze_bush.toml")]) == 3
    assert "Not to be used" in capsys.readouterr().out


def test_a_bug_keeps_its_traceback(starter, monkeypatch):
    import hoopwright.pipeline as pipeline

    monkeypatch.setattr(pipeline, "compare", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        main(["check", str(starter)])


def test_materials_are_listed_with_sources(capsys):
    assert main(["materials"]) == 0
    out = capsys.readouterr().out
    assert "EN 1999-1-1" in out
    assert "from memory" in out
    assert max(map(len, out.splitlines())) <= 80


def test_installed_module_runs_from_anywhere_and_survives_a_closed_pipe(starter):
    command = f"{sys.executable} -m hoopwright check {starter} | head -1"
    done = subprocess.run(
        ["sh", "-c", command],
        capture_output=True,
        text=True,
        check=True,
        cwd=starter.parent,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert done.stderr == ""
    assert done.stdout.strip()


def test_a_reader_that_stops_reading_never_ends_in_zero():
    """A failing case into a closed pipe ended in 0."""
    case = Path(__file__).parents[1] / "hoopwright" / "published" / "steel_jacket.toml"
    words = [sys.executable, "-m", "hoopwright", "check", str(case)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as process:
        process.stdout.close()
        assert process.wait() == status.PIPE_CLOSED


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize(
    "words", [["materials"], ["check", "hoopwright/published/steel_jacket.toml", "--json"]]
)
def test_a_full_disk_gives_one_line_and_its_status(words):
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(
            [sys.executable, "-m", "hoopwright", *words],
            cwd=Path(__file__).parents[1],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == status.NOT_WRITTEN
    assert done.stderr == "output not written: No space left on device\n"
