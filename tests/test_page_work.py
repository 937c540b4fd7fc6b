"""Questions and answers: the newest of a file wins, nothing is lost when the process that solves dies."""

from __future__ import annotations

import os
import signal
import threading

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_parts import SolverAtOnce, started, until
from page_solves import in_steps

import hoopwright
from hoopwright.page import solver as solver_module
from hoopwright.page.model import AtWork
from hoopwright.page.questions import Question
from hoopwright.page.solver import Solver
from hoopwright.page.work import CANCELLED, Work
from hoopwright.pipeline import check_case
from hoopwright.record.partial_output import PREFIX
from hoopwright.starters import starter_text

PLAIN = starter_text("plain")


def question(text, file="mine.toml", command="check"):
    return Question(command, file, text, f"digest of {text}")


@pytest.fixture
def solver():
    return SolverAtOnce()


@pytest.fixture
def work(solver):
    with started(solver) as found:
        yield found


def answered(work, file="mine.toml", command="check"):
    found = work.found(file).answers.get(command)
    return None if found is None else found.version


def test_question_is_answered_once_and_reported_while_at_work(work, solver):
    solver.let_go.clear()
    work.ask([question("one"), question("one", command="compare")])
    until(
        lambda: work.found("mine.toml").at_work == AtWork("check", "sleeve yields", 3, 22) or solver.asked
    )
    until(lambda: work.found("mine.toml").at_work.of)
    assert work.found("mine.toml").at_work == AtWork("check", "shell yields", 3, 22)
    assert work.found("other.toml").at_work is None
    work.ask([question("one")])
    solver.let_go.set()
    until(lambda: answered(work, command="compare"))
    until(lambda: work.found("mine.toml").at_work is None)
    work.ask([question("one")])
    assert [asked.command for asked in solver.asked] == ["check", "compare"]
    assert work.found("mine.toml").at_work is None


def test_newest_text_of_a_file_wins_and_other_files_get_their_turn(work, solver):
    solver.let_go.clear()
    work.ask([question("one"), question("one", command="compare")])
    until(lambda: solver.asked)
    work.ask([question("theirs", file="theirs.toml")])
    work.ask([question("two")])
    work.ask([question("three")])
    solver.let_go.set()
    until(lambda: answered(work) == "digest of three" and answered(work, "theirs.toml"))
    texts = [asked.text for asked in solver.asked]
    assert texts[0] == "one"
    assert "two" not in texts
    assert answered(work, command="compare") is None
    assert not work.found("mine.toml").failed


def test_plan_of_pressing_is_not_given_up_for_a_reading(work, solver):
    """Each has a version of its own, and a reading changes that of the check alone."""
    solver.let_go.clear()
    plan = Question("plan", "mine.toml", "one", "of the plan")
    work.ask([plan, question("one")])
    until(lambda: solver.asked)
    work.ask([question("two")], current=("digest of two", "of the plan"))
    solver.let_go.set()
    until(lambda: answered(work) == "digest of two")
    assert answered(work, command="plan") == "of the plan"
    assert [asked.text for asked in solver.asked] == ["one", "two"]


def test_last_answer_stays_while_a_newer_text_is_at_work_and_after_it_was_cancelled(work, solver):
    work.ask([question("one")])
    until(lambda: answered(work))
    solver.let_go.clear()
    work.ask([question("two")])
    until(lambda: len(solver.asked) == 2)
    assert answered(work) == "digest of one"
    work.cancel("theirs.toml")
    assert work.found("mine.toml").at_work is not None
    work.cancel("mine.toml")
    found = work.found("mine.toml")
    assert (found.at_work, found.failed) == (None, CANCELLED)
    assert answered(work) == "digest of one"
    work.ask([question("two")])  # asked again, it is answered
    assert work.found("mine.toml").failed == ""
    solver.let_go.set()
    until(lambda: answered(work) == "digest of two")


def test_answer_that_comes_after_it_was_cancelled_is_not_shown(work, solver):
    solver.let_go.clear()
    solver.deaf = True
    work.ask([question("one")])
    until(lambda: solver.asked)
    work.cancel("mine.toml")
    solver.let_go.set()
    work.ask([question("theirs", file="theirs.toml")])
    until(lambda: answered(work, "theirs.toml"))
    assert answered(work) is None
    assert work.found("mine.toml").failed == CANCELLED


# -- the process ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def process(tmp_path_factory):
    found = Solver(tmp_path_factory.mktemp("served"), in_steps)
    found.start()
    yield found
    found.close()


def ask(process, text, given_up=lambda: False):
    told = []
    return process.ask(question(text), lambda *said: told.append(said), given_up), told


def test_process_answers_in_the_folder_and_stays_warm(process):
    outcome, told = ask(process, "one")
    assert outcome.document["folder"] == process._folder
    assert told == [("wall_left", 0, 2), ("wall_left", 1, 2)]
    assert ask(process, "two")[0].document["pid"] == outcome.document["pid"] == process.pid != os.getpid()


def test_whatever_goes_wrong_in_it_is_one_line_and_it_goes_on(process):
    pid = process.pid
    assert ask(process, "bad case")[0].failed == "mine.toml: too thin"
    assert "memory" in ask(process, "memory")[0].failed
    assert "ZeroDivisionError" in ask(process, "mistake")[0].failed
    assert ask(process, "fine")[0].document["pid"] == pid


def test_question_given_up_ends_at_its_next_row_and_the_process_stays_warm(process):
    pid = process.pid
    asked = threading.Event()
    assert process.ask(question("long"), lambda *_: asked.set(), asked.is_set) == solver_module.Outcome()
    assert ask(process, "next")[0].document["pid"] == pid


def test_one_that_does_not_look_is_ended_and_a_new_one_started(process, monkeypatch):
    monkeypatch.setattr(solver_module, "GRACE", 0.05)
    pid = process.pid
    assert ask(process, "deaf", lambda: True)[0] == solver_module.Outcome()
    assert ask(process, "next")[0].document["pid"] != pid


def test_what_it_was_writing_when_it_was_ended_is_taken_away(process, monkeypatch):
    monkeypatch.setattr(solver_module, "GRACE", 0.05)
    seen = []

    def given_up():
        seen.extend(name for name in os.listdir(process._folder) if name.startswith(PREFIX))
        return bool(seen)

    assert (
        process.ask(question("deaf while it writes"), lambda *_: None, given_up) == solver_module.Outcome()
    )
    assert seen
    assert os.listdir(process._folder) == []


def test_process_killed_while_solving_is_reported_and_the_next_question_is_answered(process):
    work, pid = Work(process), process.pid
    work.start()
    work.ask([question("one")])
    until(lambda: answered(work))
    work.ask([question("long")])
    until(lambda: work.found("mine.toml").at_work.of)
    os.kill(pid, signal.SIGKILL)
    until(lambda: work.found("mine.toml").failed)
    found = work.found("mine.toml")
    assert "signal 9" in found.failed
    assert "\n" not in found.failed
    assert answered(work) == "digest of one"
    work.ask([question("again")])
    until(lambda: answered(work) == "digest of again")
    assert process.pid != pid
    work.close()
    assert process.pid is None


@pytest.mark.slow
def test_a_case_is_solved_as_the_command_solves_it(tmp_path):
    """One real answer through the process, beside that of a check here."""
    real = Solver(tmp_path)
    titles = []
    outcome = real.ask(
        Question("check", "mine.toml", PLAIN, ""), lambda *row: titles.append(row), lambda: False
    )
    real.close()
    assert outcome.document == hoopwright.check(hoopwright.parse_case(PLAIN, file="mine.toml")).document()
    assert titles[0][:2] == ("shell_yields", 0)
    assert [done for _, done, _ in titles[:3]] == [0, 1, 2]


def test_check_ends_where_progress_raises():
    """A question that is given up leaves nothing half done."""

    class GivenUpError(BaseException):
        pass

    def give_up(*_):
        raise GivenUpError

    case = hoopwright.parse_case(PLAIN, file="mine.toml")
    with pytest.raises(GivenUpError):
        check_case(case, give_up)
