"""A record contains everything, is reproducible, and is written completely or not at all."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import jsonschema
import pypdf
import pytest
from record_cases import LOG, results, write_case, written_record

import hoopwright
from hoopwright import status
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.record.case_inputs import log_name
from hoopwright.record.file_names import case_name
from hoopwright.record.pages.frame import OPTIONAL_FIGURES

ROOT = Path(__file__).resolve().parents[1]
SMALL = ROOT / "hoopwright" / "published" / "bronze_bush.toml"
FILES = ["SHA256SUMS", "hub.toml", "log.csv", "record.pdf", "results.json", "section.vtu"]


def every(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_results_of_a_record_fit_their_schema():
    schema = hoopwright.document_schema()
    whole = {key: value for key, value in schema.items() if key != "oneOf"}
    validator = jsonschema.Draft202012Validator({**whole, "$ref": "#/$defs/record"})
    assert [f"{e.json_path}: {e.message[:200]}" for e in validator.iter_errors(results())] == []
    assert not validator.is_valid(results() | {"surprise": 1})
    assert not validator.is_valid({k: v for k, v in results().items() if k != "settings"})


@pytest.mark.slow
def test_the_record_of_the_trike_has_no_more_than_thirteen_pages_behind_its_sheet(tmp_path):
    case = ROOT / "cases" / "cargo_trike_crank_shell.toml"
    assert main(["record", str(case), "--out", str(tmp_path)]) == status.ALL_HOLD
    (pages,) = tmp_path.glob("*/record.pdf")
    assert len(pypdf.PdfReader(pages).pages) <= 1 + 13


def test_a_record_contains_pages_results_case_log_figures_and_meshes():
    files = every(written_record())
    assert set(FILES) <= set(files)
    assert files["log.csv"] == LOG.encode()
    assert hashlib.sha256(files["hub.toml"]).hexdigest() == results()["case"]["sha256"]
    figures = {name.partition("/")[2] for name in files if name.startswith("figures/")}
    for name in ("drawing", "section", "press", "readings", "loading", *OPTIONAL_FIGURES):
        assert {f"{name}.svg", f"{name}.png"} <= figures
    assert "service/laden-wheel.vtu" in files


def test_digests_are_those_of_the_files():
    done = subprocess.run(
        ["sha256sum", "--check", "--quiet", "SHA256SUMS"],
        cwd=written_record(),
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (0, "")
    assert (
        len((written_record() / "SHA256SUMS").read_text().splitlines()) == len(every(written_record())) - 1
    )


def test_the_same_case_gives_the_same_bytes_from_another_folder_and_process(tmp_path):
    path = write_case(tmp_path)
    command = [
        sys.executable,
        "-m",
        "hoopwright",
        "record",
        str(path),
        "--out",
        str(tmp_path / "b"),
        "--revolved",
    ]
    subprocess.run(
        command, cwd=ROOT, check=False, env={**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"}
    )
    again, before = every(tmp_path / "b" / "hub-001"), every(written_record())
    assert set(again) == set(before)
    assert [name for name in before if before[name] != again[name]] == []


@pytest.mark.slow
def test_without_a_worker_the_record_has_the_same_bytes(tmp_path):
    case = str(ROOT / "cases" / "cargo_trike_crank_shell.toml")
    for folder, before in (("with", ""), ("without", "del os.fork; ")):
        start = f"import os; {before}from hoopwright.cli import main; "
        write = start + f"main(['record', {case!r}, '--out', {folder!r}])"
        subprocess.run([sys.executable, "-c", write], cwd=tmp_path, check=True)
    made, again = (every(tmp_path / folder) for folder in ("with", "without"))
    assert made
    assert [name for name in made | again if made.get(name) != again.get(name)] == []


def test_names_of_the_record_are_never_taken_by_a_case_or_a_log():
    assert case_name("mine.toml") == "mine.toml"
    assert case_name("Results.JSON") == "case.toml"
    assert case_name("a\\b.toml") == "case.toml"
    assert log_name("logs/press.csv") == "logs/press.csv"
    assert log_name("../press.csv") == log_name("/somewhere/press.csv") == "press.csv"


def test_check_writes_the_same_record_and_no_progress_into_a_pipe(tmp_path, capsys):
    assert main(["check", str(SMALL), "--out", str(tmp_path)]) == status.AS_FAR_AS_JUDGED
    output = capsys.readouterr()
    assert output.err == f"written: {tmp_path / 'bronze_bush-001'}\n"
    assert (tmp_path / "bronze_bush-001" / "record.pdf").read_bytes().startswith(b"%PDF")


def test_progress_is_shown_on_a_terminal_and_cleared_at_the_end(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    assert main(["record", str(SMALL), "--out", str(tmp_path)]) == status.AS_FAR_AS_JUDGED
    output = capsys.readouterr().err
    assert "pressing the sleeve in ..." in output
    assert output.endswith("\r\033[K")


@pytest.mark.parametrize(
    ("code", "words"), [(errno.ENOSPC, "the disk is full"), (errno.EROFS, "the file system is read-only")]
)
def test_a_full_disk_or_a_read_only_folder_is_one_line(code, words, tmp_path, capsys, monkeypatch):
    real = Path.mkdir

    def refused(self, *args, **more):
        if tmp_path in self.parents and self.name != "out":
            raise OSError(code, os.strerror(code), str(self))
        return real(self, *args, **more)

    monkeypatch.setattr(Path, "mkdir", refused)
    assert main(["record", str(SMALL), "--out", str(tmp_path / "out")]) == 4
    output = capsys.readouterr().err
    assert words in output
    assert len(output.splitlines()) == 1
    assert list((tmp_path / "out").iterdir()) == []


def killed_at_random(tmp_path: Path, kills: int) -> None:
    """Kill writers at random; no partial record is left, and the old one is unchanged."""
    out = tmp_path / "out"
    assert main(["record", str(SMALL), "--out", str(out)]) == status.AS_FAR_AS_JUDGED
    old = every(out / "bronze_bush-001")
    whole = set(old)
    chance = random.Random(5)
    for _ in range(kills):
        command = [sys.executable, "-m", "hoopwright", "record", str(SMALL), "--out", str(out)]
        child = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(chance.uniform(0.3, 3.0))
        child.send_signal(signal.SIGKILL)
        child.wait()
    for record in out.glob("bronze_bush-*"):
        assert set(every(record)) == whole
    assert every(out / "bronze_bush-001") == old


@pytest.mark.skipif(os.name == "nt", reason="kills as on Unix")
def test_killed_while_it_runs_it_leaves_no_part_of_a_record(tmp_path):
    killed_at_random(tmp_path, 2)


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="kills as on Unix")
def test_killed_at_random_moments_it_leaves_no_part_of_a_record(tmp_path):
    killed_at_random(tmp_path, 25)


@pytest.mark.slow
def test_pages_are_in_the_requested_units():
    assert json.loads((written_record("inch") / "results.json").read_text())["record"] == {
        "kind": "repair",
        "shown_in": "inch",
        "paper": "letter",
    }
    assert Units("inch").label("mm") == "in"
