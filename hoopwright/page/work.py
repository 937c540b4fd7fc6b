"""What is asked of the solver, and what it answered, by file: the newest question of a file wins."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence, Set
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Protocol

from hoopwright.explanations import explanations
from hoopwright.page.model import ORDERED, Answer, AtWork, Command, Order
from hoopwright.page.questions import Outcome, Progress, Question

CANCELLED = "Cancelled before it was done."
CHANGED = "Given up: the case was changed meanwhile. Ask again."


@dataclass(frozen=True)
class Found:
    """What is known of a file: its last answers, what is being computed, why the last question has no
    answer, and what became of every order, by its command and what it is about."""

    answers: dict[Command, Answer] = field(default_factory=dict)
    at_work: AtWork | None = None
    failed: str = ""
    orders: dict[tuple[Command, str], Order] = field(default_factory=dict)


class Asked(Protocol):
    """Who answers: the process that solves."""

    def start(self) -> None: ...

    def close(self) -> None: ...

    def ask(self, question: Question, progress: Progress, given_up: Callable[[], bool]) -> Outcome: ...


class Work:
    """Questions that wait, the one at work, and the answers. Its thread alone asks the solver.

    A question on a newer text of a file takes the place of those on its older text, waiting or at work;
    questions on other files wait for their turn, the newest first. An order is a question that only a
    button asks; it tells of itself why it was not done.
    """

    def __init__(self, solver: Asked) -> None:
        self._solver = solver
        self._news = threading.Condition()
        self._waiting: list[Question] = []
        self._running: Question | None = None
        self._given_up = self._closed = False
        self._found: dict[str, Found] = {}
        self._thread = threading.Thread(target=self._run, name="work", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def close(self) -> None:
        """Give up whatever is asked, and end the process."""
        with self._news:
            self._closed = self._given_up = True
            self._waiting.clear()
            self._news.notify()
        if self._thread.is_alive():
            self._thread.join()
        self._solver.close()

    def found(self, file: str) -> Found:
        """What is known of a file now."""
        with self._news:
            found = self._found.get(file, Found())
            if found.at_work is None and (next_one := self._next_of(file)) is not None:
                return replace(found, at_work=AtWork(next_one.command, about=next_one.about))
            return found

    def ask(self, questions: Sequence[Question], current: Sequence[str] = ()) -> None:
        """Ask questions on one text of one file, in this order, those that have no answer yet. current:
        other versions that the text has, whose questions stay."""
        with self._news:
            for file in {question.file for question in questions}:
                versions = {q.version for q in questions if q.file == file}
                self._drop(file, versions | set(current), CHANGED)
            new = [q for q in questions if not self._is_known(q)]
            for question in new:
                self._change(question.file, failed="")
            self._waiting[:0] = new
            if new:
                self._news.notify()

    def order(self, question: Question, current: Sequence[str] = ()) -> None:
        """Ask for something that is done anew whenever it is asked for, unless it waits or is at work.
        current: as of ask."""
        with self._news:
            if question in self._waiting or (question == self._running and not self._given_up):
                return
            if question.version:
                self._drop(question.file, {question.version, *current}, CHANGED)
            self._note(question)
            self._waiting.insert(0, question)
            self._news.notify()

    def cancel(self, file: str) -> None:
        """Give up whatever is asked of a file."""
        with self._news:
            running = self._running
            asked = [q for q in (*self._waiting, *((running,) if running else ())) if q.file == file]
            if not asked:
                return
            self._drop(file, None, CANCELLED)
            self._change(file, at_work=None)
            if any(question.command not in ORDERED for question in asked):
                self._change(file, failed=CANCELLED)

    def _take_order(self, question: Question, outcome: Outcome) -> None:
        """Keep what became of an order: of one that was given up only that it was done all the same."""
        if not self._given_up:
            self._change(question.file, at_work=None)
        elif outcome.document is None or self._is_asked_anew(question):
            return
        self._note(question, outcome)

    def _is_asked_anew(self, question: Question) -> bool:
        """Whether another version of an order has taken its place."""
        order = self._found[question.file].orders.get((question.command, question.about))
        return order is None or order.version != question.version or order.waits

    def _drop(self, file: str, versions: Set[str] | None, why: str) -> None:
        """Forget what is asked of a file but of these versions, or of none. versions: None for all of it.
        why: orders among it are not done."""

        def goes(question: Question) -> bool:
            return question.file == file and (versions is None or question.version not in {"", *versions})

        running = self._running if not self._given_up else None
        for question in (*self._waiting, *((running,) if running else ())):
            if question.command in ORDERED and goes(question):
                self._note(question, failed=why)
        self._waiting = [question for question in self._waiting if not goes(question)]
        if running is not None and goes(running):
            self._given_up = True
            self._change(file, at_work=None)

    def _note(self, question: Question, outcome: Outcome | None = None, failed: str = "") -> None:
        """Keep what became of an order, the last one last; without an outcome that it is to be done."""
        key = (question.command, question.about)
        orders = {**self._found.get(question.file, Found()).orders}
        orders.pop(key, None)
        document, failed = (None, failed) if outcome is None else (outcome.document, outcome.failed)
        orders[key] = Order(*key, question.version, document, failed)
        self._change(question.file, orders=orders)

    def _is_known(self, question: Question) -> bool:
        answered = self._found.get(question.file, Found()).answers.get(question.command)
        if answered is not None and (answered.version, answered.about) == (
            question.version,
            question.about,
        ):
            return True
        running = self._running if not self._given_up else None
        return question == running or question in self._waiting

    def _next_of(self, file: str) -> Question | None:
        return next((question for question in self._waiting if question.file == file), None)

    def _change(self, file: str, **changes: object) -> None:
        found = self._found.get(file, Found())
        self._found[file] = replace(found, **changes)  # type: ignore[arg-type]

    def _run(self) -> None:
        with suppress(OSError):  # the first question tries again, and tells
            self._solver.start()
        while True:
            with self._news:
                self._news.wait_for(lambda: self._closed or bool(self._waiting))
                if self._closed:
                    return
                question = self._running = self._waiting.pop(0)
                self._given_up = False
                self._change(question.file, at_work=AtWork(question.command, about=question.about))
            outcome = self._solver.ask(question, self._progress, lambda: self._given_up)
            with self._news:
                self._take(question, outcome)

    def _progress(self, row: str, done: int, of: int) -> None:
        with self._news:
            question = self._running
            if question is not None and not self._given_up:
                title = _titles().get(row, row.replace("_", " "))
                at_work = AtWork(question.command, title, done, of, question.about)
                self._change(question.file, at_work=at_work)

    def _take(self, question: Question, outcome: Outcome) -> None:
        """Keep an outcome, unless nobody waits for it any longer."""
        self._running = None
        if question.command in ORDERED:
            self._take_order(question, outcome)
        if self._given_up or question.command in ORDERED:
            return
        found = self._found[question.file]
        answers = dict(found.answers)
        if outcome.document is not None:
            answers[question.command] = Answer(outcome.document, question.version, question.about)
        self._change(question.file, answers=answers, at_work=None, failed=outcome.failed)


@cache
def _titles() -> dict[str, str]:
    """Titles of the rows, by id."""
    return {row.id: row.title for row in explanations()}
