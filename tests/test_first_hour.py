"""A newcomer at work: from nothing to useful answers, by questions on a terminal and by a starter."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path

import pexpect
import pytest
import tomlkit

from hoopwright import status
from hoopwright.case.read import read_case
from hoopwright.case.schema import LINE
from hoopwright.cli import main
from hoopwright.commands.questions import QUESTIONS
from hoopwright.starters import starter_text

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


@pytest.mark.parametrize(
    ("piece", "units"), [("housing", "inch"), pytest.param("crank-shell", "metric", marks=pytest.mark.slow)]
)
def test_questions_lead_from_nothing_to_a_case(piece, units, tmp_path, capsys):
    given = {
        "Width of the shell, face to face": {"inch": ["wide", "2 1/2 in"], "metric": ["68"]}[units],
        "Material of the shell": ["iron", "6082-T6"] if piece == "housing" else ["6061-T6"],
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
        "shell.least_wall": "2 mm",
        "shell.runout": "0.03 mm",
        "shell.bore_plus_minus": "3 um",
        "sleeve.most_bore_closure": "70 um",
        "sleeve.outside_plus_minus": "3 um",
        "boring.depth_of_cut": "0.3 mm",
        "press.capacity": "200 kN",
        "temperatures.use_least": "0 degC",
        "size.shop_temperature": "19 degC",
        "fit.friction_low": 0.12,
    },
    "inch": {
        "shell.least_wall": "3/32 in",
        "shell.runout": "1 thou",
        "shell.bore_plus_minus": "1 tenth",
        "sleeve.most_bore_closure": "2.8 thou",
        "sleeve.outside_plus_minus": "1 tenth",
        "boring.depth_of_cut": "12 thou",
        "press.capacity": "20 long ton",
        "temperatures.use_least": "32 degF",
        "size.shop_temperature": "66 degF",
        "fit.friction_low": 0.12,
    },
}
"""Ten values that a newcomer changes."""
TOO_MUCH = {"metric": {"demand.axial_force": "90 kN"}, "inch": {"demand.axial_force": "20000 lbf"}}
"""A push that no such sleeve holds."""
COARSE = "\n[mesh]\nelements_through_wall = 2\n"
OTHERS_UNITS = {
    "metric": re.compile(r"[0-9.] (in|thou|psi|ksi|lbf|°F)\b"),
    "inch": re.compile(r"[0-9.] (mm|N|kN|MPa|bar)\b"),
}
ENDS = (status.ALL_HOLD, status.SOME_FAIL, status.AS_FAR_AS_JUDGED)


def changed(text, values):
    """The file with values changed in place and all else as it was."""
    document = tomlkit.parse(text)
    for path, value in values.items():
        table, key = path.split(".")
        assert key in document[table], path
        document[table][key] = value
    return tomlkit.dumps(document)


def comments(text):
    return re.findall(r"# .*", text)


class Newcomer:
    """Somebody with a starter in a folder, and what the commands say to it."""

    def __init__(self, folder, piece, units, capsys):
        self.mine, self.capsys = folder / "mine.toml", capsys
        assert main(["new", str(self.mine), "--piece", piece, "--units", units]) == status.ALL_HOLD
        capsys.readouterr()

    def edit(self, values, *, own=False, more=""):
        """Change values, and, where they are one's own, take the line away that says they are samples."""
        text = self.mine.read_text(encoding="utf-8")
        edited = changed(text, values)
        assert comments(edited) == comments(text)
        if own:
            edited = re.sub(r"(?m)^sample = true.*\n", "", edited)
        self.mine.write_text(edited + more, encoding="utf-8")

    def run(self, command, *more):
        code = main([command, str(self.mine), *more])
        shown = self.capsys.readouterr()
        assert "Traceback" not in shown.err
        assert code in ENDS, shown.err
        return code, shown.out


@pytest.mark.parametrize(
    ("units", "own", "push", "ends_in", "first"),
    [
        ("metric", True, {}, status.ALL_HOLD, "Holds"),
        ("inch", False, {}, status.AS_FAR_AS_JUDGED, "Sample values: Holds as far as judged"),
        ("inch", True, TOO_MUCH["inch"], status.SOME_FAIL, "Do not cut: 2 of 12"),
        pytest.param("metric", True, TOO_MUCH["metric"], 1, "Do not cut: 2 of 12", marks=pytest.mark.slow),
        pytest.param("inch", True, {}, status.ALL_HOLD, "Holds", marks=pytest.mark.slow),
    ],
)
def test_a_newcomers_ten_values_end_as_they_say(units, own, push, ends_in, first, tmp_path, capsys):
    """In 5 while they are samples, in 0 once they are one's own, and in 1 with too great a push."""
    newcomer = Newcomer(tmp_path, "plain", units, capsys)
    newcomer.edit(TEN[units] | push, own=own, more=COARSE)
    code, out = newcomer.run("check")
    assert code == ends_in
    verdict, table = out.split("\n\n")[1:3]
    assert verdict.startswith(first)
    assert ("sleeve slips, sleeve is pushed out" in " ".join(verdict.split())) is bool(push)
    assert table.startswith("ways to fail")


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_number_without_unit_costs_a_newcomer_one_try(units, tmp_path, capsys):
    """What is suggested is written, and the next time there is no fault."""
    newcomer = Newcomer(tmp_path, "plain", units, capsys)
    bare = {path: float(re.match(r"[0-9.]+", v)[0]) for path, v in TEN[units].items() if "thou" in str(v)}
    newcomer.edit({**bare, "demand.axial_force": 1000, "press.capacity": 20})
    assert main(["check", str(newcomer.mine)]) == status.BAD_INPUT
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == len(bare) + 2
    told = [re.search(r'\[(\w+)\] (\w+).*write e\.g\. \w+ = "(.*)"', line) for line in lines]
    newcomer.edit({f"{found[1]}.{found[2]}": found[3] for found in told})
    case = read_case(newcomer.mine)
    newton = {"metric": 1.0, "inch": 4.4482216}[units]
    assert case.demand.axial_force == pytest.approx(1000.0 * newton)
    assert not [line for line in lines if OTHERS_UNITS[units].search(line)]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("piece", "units"),
    [("crank-shell", "metric"), ("hub", "inch"), ("housing", "metric"), ("plain", "inch")],
)
def test_a_newcomer_gets_useful_answers_at_once(piece, units, tmp_path, capsys):
    newcomer = Newcomer(tmp_path, piece, units, capsys)
    newcomer.edit(TEN[units], own=True, more="" if piece == "plain" else COARSE)
    assert newcomer.run("check") == (status.ALL_HOLD, AnyText("ways to fail"))
    assert newcomer.run("size") == (status.ALL_HOLD, AnyText("Turn the sleeve's outside to"))
    assert newcomer.run("press") == (status.ALL_HOLD, AnyText("At the press"))
    assert newcomer.run("record", "--out", str(tmp_path / "records"))[0] == status.ALL_HOLD
    (record,) = (tmp_path / "records").iterdir()
    assert (record / "record.pdf").stat().st_size > 10_000
    assert main(["verify", str(record)]) == status.ALL_HOLD


class AnyText(str):
    """Equal to every text that contains it."""

    __slots__ = ()
    __hash__ = str.__hash__

    def __eq__(self, other):
        return str(self) in str(other)
