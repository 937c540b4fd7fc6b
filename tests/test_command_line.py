"""Habits of a command line: several cases, standard input, quiet, progress, colour, completion."""

from __future__ import annotations

import io
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from hoopwright import status
from hoopwright.cli import main
from hoopwright.record import progress
from hoopwright.screen.colour import CODES, in_colour
from hoopwright.starters import starter_text

ROOT = Path(__file__).parents[1]
SOUND = str(ROOT / "cases" / "sound" / "plain_steel_in_steel.toml")


@pytest.fixture
def sample(tmp_path):
    path = tmp_path / "sample.toml"
    path.write_text(starter_text("plain"), encoding="utf-8")
    return path


@pytest.fixture
def loose(tmp_path):
    path = tmp_path / "loose.toml"
    path.write_text(starter_text("plain").replace('"42.045 mm"', '"42.003 mm"'), encoding="utf-8")
    return path


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.slow
def test_of_several_cases_the_worst_sets_the_status(sample, loose, tmp_path, capsys):
    missing = str(tmp_path / "missing.toml")
    assert main(["check", "--quiet", SOUND, SOUND]) == status.ALL_HOLD
    assert main(["check", "--quiet", SOUND, str(sample)]) == status.AS_FAR_AS_JUDGED
    assert main(["check", "--quiet", str(sample), missing]) == status.BAD_INPUT
    assert capsys.readouterr().out == ""
    assert main(["check", missing, SOUND, str(loose)]) == status.SOME_FAIL
    shown = capsys.readouterr()
    assert shown.out.count("ways to fail  ") == 2
    assert shown.err.splitlines() == [f"{missing}: no such file; check the name and the folder"]


@pytest.mark.parametrize("command", ["check", "size", "compare"])
def test_samples_are_named_first(command, sample, capsys):
    assert main([command, str(sample)]) == status.AS_FAR_AS_JUDGED
    assert capsys.readouterr().out.splitlines()[2].startswith("Sample values: ")


def test_a_case_comes_from_standard_input(capsys, monkeypatch):
    given = Path(SOUND).read_bytes()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given)))
    assert main(["check", "-"]) == status.ALL_HOLD
    assert "Holds: all" in capsys.readouterr().out
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"title = 3")))
    assert main(["check", "-"]) == status.BAD_INPUT
    assert capsys.readouterr().err.startswith("standard input: ")


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        (
            ["size", SOUND, SOUND, "--readings-figure", "x.png"],
            "--readings-figure takes one case at a time",
        ),
        (["check", "-", "-"], "standard input can be read only once"),
        (["check", "-", "--out", "records"], "save it to a file first"),
    ],
)
def test_what_does_not_go_together_is_refused(words, problem, capsys):
    with pytest.raises(SystemExit) as caught:
        main(words)
    assert caught.value.code == status.BAD_INPUT
    assert problem in capsys.readouterr().err


def test_the_verdict_is_in_colour_on_a_terminal_only(monkeypatch):
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    report = "A case\n\nDo not cut: this and\nthat.\n\nrows\n"
    verdict = "Do not cut: this and that."
    assert in_colour(report, verdict, "fails", io.StringIO()) == report
    coloured = in_colour(report, verdict, "fails", Terminal())
    assert f"\n\033[{CODES['fails']}mDo not cut: this and\033[0m\n" in coloured
    assert re.sub(r"\033\[[0-9;]*m", "", coloured) == report
    for variable, value in (("NO_COLOR", "1"), ("TERM", "dumb")):
        with monkeypatch.context() as patch:
            patch.setenv(variable, value)
            assert in_colour(report, verdict, "fails", Terminal()) == report
    assert len(set(CODES.values())) == len(CODES)


def test_a_long_wait_is_explained_on_a_terminal(monkeypatch):
    monkeypatch.setattr(progress, "PATIENCE", 0.01)
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with progress.waiting("checking mine.toml"):
        for _ in range(500):
            if terminal.getvalue():
                break
            time.sleep(0.01)
    assert "checking mine.toml ..." in terminal.getvalue()
    assert terminal.getvalue().endswith(progress.CLEAR)
    pipe = io.StringIO()
    monkeypatch.setattr(sys, "stderr", pipe)
    with progress.waiting("checking mine.toml"):
        time.sleep(0.05)
    assert pipe.getvalue() == ""


def test_a_shell_completes_commands_and_files(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "hoopwright", "--completion", "bash"],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    (tmp_path / "mine.toml").write_text("")
    (tmp_path / "complete.sh").write_text(done.stdout)
    ask = (
        "source ./complete.sh; for at in 'ch' 'check mi'; do COMP_WORDS=(hoopwright $at); "
        "COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _shtab_hoopwright; echo ${COMPREPLY[@]}; done"
    )
    found = subprocess.run(
        ["bash", "-c", ask], capture_output=True, text=True, check=True, cwd=tmp_path, timeout=60
    )
    assert found.stdout.split() == ["check", "mine.toml"]
