"""What the process that solves is asked, and how it answers. A question is the text of a case and never a
path: what is solved is what was seen."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from hoopwright import interface
from hoopwright.errors import CaseError, Fault
from hoopwright.page.model import Command, Document

if TYPE_CHECKING:
    from hoopwright.case.model import Case

Progress = Callable[[str, int, int], None]
"""Called with the row at work, how many are done and of how many; what it raises ends the work."""


@dataclass(frozen=True)
class Question:
    """A command and the case that it is for. version: of the case as its files have it, "" where the answer
    does not depend on it. about: what else the command takes."""

    command: Command
    file: str
    text: str
    version: str
    about: str = ""


@dataclass(frozen=True)
class Outcome:
    """What became of a question: a document, or one line that says why there is none, or neither where it
    was given up."""

    document: Document | None = None
    failed: str = ""


def case_of(question: Question) -> Case:
    """The case of a question; the process is in its folder. Raises CaseError."""
    case = interface.parse_case(question.text, file=question.file)
    fault = log_fault(case, Path.cwd())
    if fault is not None:
        raise CaseError((fault,))
    return case


def log_fault(case: Case, folder: Path) -> Fault | None:
    """A press log that lies outside the folder, which the page does not read."""
    log = case.press.log
    if not log:
        return None
    inside = False
    with suppress(OSError, ValueError, RuntimeError):
        inside = (folder / log).resolve().is_relative_to(folder.resolve())
    if inside:
        return None
    advice = "copy it there, or use the command line"
    return Fault(case.file, "[press]", "log", "not in the folder that the page serves", advice)
