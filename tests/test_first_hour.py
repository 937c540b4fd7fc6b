"""A newcomer at work: from nothing to useful answers, by questions on a terminal and by a starter."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path

import pexpect
import pytest

from hoopwright import status
from hoopwright.case.read import read_case
from hoopwright.case.schema import LINE
from hoopwright.cli import main
from hoopwright.commands.questions import QUESTIONS
from hoopwright.starters import PIECES, starter_text

ROOT = Path(__file__).parents[1]
CLEAR_LINE = "\x15"
ENOUGH = 60  # s, for a busy machine


class Terminal:
    """`hoopwright new` on a terminal of 80 columns, and somebody who answers."""

    def __init__(self, folder: Path) -> None:
        self.process = pexpect.spawn(
            sys.executable,
            ["-m", "hoopwright", "new"],
            cwd=str(folder),
            env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1"},
            encoding="utf-8",
            timeout=ENOUGH,
            dimensions=(24, 80),
        )

    def answer(self, question: str, *given: str) -> None:
        """Take what stands there, or type answers until one is accepted."""
        self.process.expect_exact(question)
        for text in given:
            self.process.send(CLEAR_LINE + text + "\r")
        if not given:
            self.process.send("\r")

    def rest(self) -> str:
        self.process.expect(pexpect.EOF)
        self.process.close()
        return self.process.before


def questions_of(piece: str) -> list[str]:
    return [question.text for question in QUESTIONS[piece]]


@pytest.mark.parametrize(("piece", "units"), [("hub", "inch"), ("crank-shell", "metric")])
def test_questions_lead_from_nothing_to_a_case(piece, units, tmp_path, capsys):
    given = {
        "Width of the shell, face to face": {"inch": ["wide", "2 1/2 in"], "metric": ["68"]}[units],
        "Material of the shell": ["iron", "1025 steel"] if piece == "hub" else ["6061-T6"],
    }
    terminal = Terminal(tmp_path)
    terminal.answer("Piece (", piece)
    terminal.answer("Units (", units)
    for text in questions_of(piece):
        terminal.answer(text + ":", *given.get(text, ()))
    terminal.answer("File to write:")
    assert "written: mine.toml; now run: hoopwright check mine.toml" in terminal.rest()
    assert terminal.process.exitstatus == status.ALL_HOLD

    case = read_case(tmp_path / "mine.toml")
    assert case.shell.width == pytest.approx({"inch": 63.5, "metric": 68.0}[units])
    assert case.sleeve.z_end == pytest.approx(case.shell.width)
    assert case.units == units
    assert main(["check", str(tmp_path / "mine.toml")]) == status.AS_FAR_AS_JUDGED
    assert "Sample values: Holds as far as judged" in capsys.readouterr().out


def test_a_file_that_is_there_is_not_overwritten_and_no_answer_is_lost(tmp_path):
    (tmp_path / "mine.toml").write_text("kept")
    terminal = Terminal(tmp_path)
    terminal.answer("Piece (", "plain")
    terminal.answer("Units (")
    for text in questions_of("plain"):
        terminal.answer(text + ":")
    terminal.answer("File to write:")
    terminal.process.expect("mine.toml: .*exist")
    terminal.answer("File to write:", "other.toml")
    assert "written: other.toml" in terminal.rest()
    assert (tmp_path / "mine.toml").read_text() == "kept"
    assert (tmp_path / "other.toml").read_text(encoding="utf-8") == f"{LINE}\n{starter_text('plain')}"


def test_questions_can_be_stopped(tmp_path):
    terminal = Terminal(tmp_path)
    terminal.answer("Piece (", "plain")
    terminal.process.expect_exact("Units (")
    terminal.process.send("\x03")
    assert "nothing was written" in terminal.rest()
    assert terminal.process.exitstatus == 130
    assert list(tmp_path.iterdir()) == []


TEN = {
    "metric": {
        "least_wall": "2 mm",
        "most_bore_closure": "70 um",
        "runout": "0.03 mm",
        "depth_of_cut": "0.3 mm",
        "bore_plus_minus": "3 um",
        "outside_plus_minus": "3 um",
        "capacity": "200 kN",
        "use_least": "0 degC",
        "shop_temperature": "19 degC",
        "friction_low": "0.12",
    },
    "inch": {
        "least_wall": "3/32 in",
        "most_bore_closure": "2.8 thou",
        "runout": "1 thou",
        "depth_of_cut": "12 thou",
        "bore_plus_minus": "1 tenth",
        "outside_plus_minus": "1 tenth",
        "capacity": "20 long ton",
        "use_least": "32 degF",
        "shop_temperature": "66 degF",
        "friction_low": "0.12",
    },
}
"""Ten values that a newcomer changes."""


def changed(text: str, units: str) -> str:
    """The starter with ten values changed."""
    for key, value in TEN[units].items():
        written = value if key == "friction_low" else f'"{value}"'
        text, count = re.subn(rf'(?m)^{key} = (".*?"|[0-9.]+)', f"{key} = {written}", text, count=1)
        assert count == 1, key
    return text


@pytest.mark.slow
@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("piece", PIECES)
def test_a_newcomer_gets_useful_answers_at_once(piece, units, tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["new", "mine.toml", "--piece", piece, "--units", units]) == status.ALL_HOLD
    mine = tmp_path / "mine.toml"
    mine.write_text(changed(mine.read_text(encoding="utf-8"), units), encoding="utf-8")
    out = {}
    for name, words in {
        "check": ["check", "mine.toml"],
        "size": ["size", "mine.toml"],
        "press": ["press", "mine.toml"],
        "record": ["check", "mine.toml", "--out", "records"],
    }.items():
        code = main(words)
        shown = capsys.readouterr()
        assert code in (status.ALL_HOLD, status.SOME_FAIL, status.AS_FAR_AS_JUDGED), shown.err
        assert "Traceback" not in shown.err
        out[name] = shown.out
    assert "ways to fail" in out["check"]
    assert "Turn the sleeve's outside to" in out["size"]
    assert "At the press" in out["press"]
    (record,) = (tmp_path / "records").iterdir()
    assert list(record.glob("*.pdf"))
