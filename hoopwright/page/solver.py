"""The process that solves: spawned, so that it shares nothing with the threads of the server, and warm.

It answers one question after the other. Before every row it tells how far it is and looks whether the
question was given up.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoopwright import address_space, interface
from hoopwright.display import Units
from hoopwright.errors import HoopwrightError
from hoopwright.page.jobs import JOBS
from hoopwright.page.model import ORDERED, SENTENCES, Command, Document
from hoopwright.page.questions import Outcome, Progress, Question, case_of
from hoopwright.record.partial_output import remove_abandoned

if TYPE_CHECKING:
    from hoopwright.case.model import Case
    from hoopwright.pipeline import Results

GIVEN_UP = "given up"
GRACE = 1.0
"""Time, s, that a question that was given up has until its next row; about what a new process takes to be
warm."""
LONGEST = 900.0
"""Time, s, after which a question is given up as one that never ends."""
GIVEN_UP_AFTER = f"not solved: given up after {LONGEST / 60:.0f} minutes"
BETWEEN_LOOKS = 0.02
"""Time, s, between two looks at a process at work."""


class LastCheck:
    """The last check that was solved, for the maps of the same case that are asked for next. At most one is
    held; any other question frees it."""

    def __init__(self) -> None:
        self._of: Question | None = None
        self._results: Results | None = None

    def begin(self, question: Question) -> None:
        """Free what the question is not about."""
        before = self._of
        same = before is not None and replace(question, command=before.command) == before
        if not same or question.command != "maps":
            self._results = None
        self._of = question

    def solve(self, case: Case, progress: Progress) -> Results:
        """Solve the case at hand, and hold it."""
        self._results = None
        self._results = interface.solve(case, progress=progress)
        return self._results

    def take(self) -> Results | None:
        """The results that are held for the case at hand, which are held no longer."""
        found, self._results = self._results, None
        return found


_last_check = LastCheck()


def _check(case: Case, progress: Progress) -> Document:
    with interface.solving(case.file):
        return interface.checked(_last_check.solve(case, progress)).document()


def _maps(case: Case, progress: Progress) -> Document:
    with interface.solving(case.file):
        return interface.mapped(_last_check.take() or interface.solve(case, progress=progress))


def _compare(case: Case, progress: Progress) -> Document:
    progress("", 0, 0)
    return interface.compare(case).document()


def _curves(case: Case, progress: Progress) -> Document:
    progress("", 0, 0)
    return interface.curves(case).document()


def _size(case: Case, progress: Progress) -> Document:
    progress("", 0, 0)
    return interface.size(case).document()


def _press(case: Case, progress: Progress) -> Document:
    """The plan, with its sentences for either reader: the page is switched without another solve."""
    from hoopwright.document.press import document
    from hoopwright.pressing.plan import press_plan

    progress("", 0, 0)
    with interface.solving(case.file):
        plan = press_plan(_with_its_gauge(case))
    other = "metric" if case.units == "inch" else "inch"
    return document(plan, Units(case.units)) | {SENTENCES: {other: document(plan, Units(other))}}


def _with_its_gauge(case: Case) -> Case:
    """The case with the unit of its gauge, which is marked as it is whoever reads the page."""
    unit = case.press.gauge_unit or ("psi" if case.units == "inch" else "bar")
    return replace(case, press=replace(case.press, gauge_unit=unit))


def _plan(case: Case, progress: Progress) -> Document:
    """What the press should read, whatever was read at it since."""
    return _press(replace(case, press=case.press.unread), progress)


COMMANDS: dict[Command, Callable[[Case, Progress], Document]] = {
    "check": _check,
    "maps": _maps,
    "curves": _curves,
    "compare": _compare,
    "size": _size,
    "press": _press,
    "plan": _plan,
}
"""What the worker can be asked for that only answers. What writes files, or reads them, is in jobs."""
Answering = Callable[[Question, Progress], Document]


def answer(question: Question, progress: Progress) -> Document:
    """The document that answers a question; the process is in the folder of the case. Raises
    HoopwrightError."""
    _last_check.begin(question)
    job = JOBS.get(question.command)
    return (
        COMMANDS[question.command](case_of(question), progress) if job is None else job(question, progress)
    )


class _GivenUpError(BaseException):
    """Raised inside a solve that nobody waits for any longer; no handler of errors catches it."""


def serve(pipe: Connection, folder: str, answering: Answering) -> None:
    """Answer questions until the other end of the pipe is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the server's to handle
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.chdir(folder)
    with suppress(EOFError, OSError):
        if answering is answer:
            _warm_up()
        while True:
            asked = pipe.recv()
            if isinstance(asked, Question):
                pipe.send(_outcome(asked, pipe, answering))


def _warm_up() -> None:
    """Import what every answer needs."""
    import hoopwright.document.check
    import hoopwright.document.compare
    import hoopwright.document.curves
    import hoopwright.document.maps
    import hoopwright.pipeline
    import hoopwright.sizing.alternatives  # noqa: F401


def _outcome(question: Question, pipe: Connection, answering: Answering) -> Outcome:
    def progress(row: str, done: int, of: int) -> None:
        if pipe.poll():
            pipe.recv()
            raise _GivenUpError
        pipe.send((row, done, of))

    try:
        return Outcome(answering(question, progress))
    except _GivenUpError:
        return Outcome()
    except HoopwrightError as error:
        return Outcome(failed=str(error))
    except (EOFError, BrokenPipeError, ConnectionResetError):
        raise
    except BaseException as error:
        if address_space.refused(error):
            return Outcome(failed=address_space.message())
        traceback.print_exc(file=sys.stderr)
        return Outcome(failed=f"not solved, by a mistake in the program: {type(error).__name__}")


class Solver:
    """The process, as its owner sees it: one question at a time, and a new process where it died."""

    def __init__(self, folder: Path, answering: Answering = answer) -> None:
        self._folder, self._answering = str(folder), answering
        self._process: Any = None
        self._pipe: Connection | None = None

    @property
    def pid(self) -> int | None:
        return None if self._process is None else self._process.pid

    def start(self) -> None:
        """Start the process where none is alive."""
        if self._process is not None and self._process.is_alive():
            return
        self.close()
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        args = (theirs, self._folder, self._answering)
        os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # read when numpy is first imported there
        self._process = context.Process(target=serve, args=args, name="solver", daemon=True)
        self._process.start()
        theirs.close()

    def close(self) -> None:
        """End the process, whatever it does."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
            self._process = None
        if self._pipe is not None:
            self._pipe.close()
            self._pipe = None

    def ask(self, question: Question, progress: Progress, given_up: Callable[[], bool]) -> Outcome:
        """The outcome of a question. given_up: whether nobody waits for it any longer."""
        try:
            self.start()
        except OSError as error:
            return Outcome(failed=f"not solved: no process could be started: {error.strerror}")
        try:
            return self._ask(question, progress, given_up)
        except (EOFError, OSError):
            return Outcome(failed=self._death())

    def _ask(self, question: Question, progress: Progress, given_up: Callable[[], bool]) -> Outcome:
        pipe = self._pipe
        assert pipe is not None
        pipe.send(question)
        ends: float | None = None
        never = time.monotonic() + LONGEST
        while True:
            if pipe.poll(BETWEEN_LOOKS):
                said = pipe.recv()
                if isinstance(said, Outcome):
                    was_made = question.command in ORDERED  # what is written is there, wanted or not
                    return said if ends is None or was_made else Outcome()
                progress(*said)
            now = time.monotonic()
            if ends is None and given_up():
                ends = now + GRACE
                pipe.send(GIVEN_UP)
            if now > (never if ends is None else ends):
                self._restart()
                return Outcome(failed="" if ends is not None else GIVEN_UP_AFTER)

    def _restart(self) -> None:
        self.close()
        remove_abandoned(Path(self._folder))  # what it was writing when it was ended
        with suppress(OSError):  # the next question tries again, and tells
            self.start()

    def _death(self) -> str:
        """One line on a process that died; a new one is started."""
        self._process.join(1.0)
        code = self._process.exitcode
        self._restart()
        if address_space.limit() is not None:
            return address_space.message()
        how = f"by signal {-code}" if code is not None and code < 0 else f"with status {code}"
        return (
            f"not solved: the process that solves ended {how}; a new one is started and nothing is lost. "
            "Ask again"
        )
