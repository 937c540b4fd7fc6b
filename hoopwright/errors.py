"""Whatever a user can cause, as one class of errors that carry their faults as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Self

from hoopwright import status

MAX_LINES = 40


@dataclass(frozen=True)
class Fault:
    """One fault: where it is (file, table heading, key), what is wrong, and what to write instead.

    given: the value as the user wrote it, or "" where there is none to repeat.
    """

    file: str
    table: str
    key: str
    problem: str
    advice: str = ""
    given: str = ""

    def __str__(self) -> str:
        key = f"{self.key} = {self.given}" if self.given else self.key
        place = " ".join(part for part in (self.table, key) if part)
        line = ": ".join(part for part in (self.file, place, self.problem) if part)
        return one_line(f"{line}; {self.advice}" if self.advice else line)


class HoopwrightError(Exception):
    """What a user can cause and put right: a file, a size, a folder. Its text is one line a fault.

    faults: all of them, in the order they were found. status: what a command ends with.
    """

    status: ClassVar[int] = status.BAD_INPUT

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    @classmethod
    def at(cls, file: object, problem: str, advice: str = "") -> Self:
        """One fault of a file or folder as a whole; file: "" where there is none to name."""
        return cls((Fault(str(file), "", "", problem, advice),))

    def __str__(self) -> str:
        lines = [str(fault) for fault in self.faults[:MAX_LINES]]
        if len(self.faults) > MAX_LINES:
            lines.append(f"{self.faults[0].file}: and {len(self.faults) - MAX_LINES} more faults")
        return "\n".join(lines)


class CaseError(HoopwrightError):
    """A case that cannot be used."""


class NotSolvedError(HoopwrightError):
    """A model of a sound case that could not be solved."""

    status = status.NOT_SOLVED


class OutputError(HoopwrightError):
    """Output that could not be written."""

    status = status.NOT_WRITTEN


class RowError(HoopwrightError):
    """A further row, of another distribution, that cannot be used or fails to judge a case."""


class RecordError(HoopwrightError):
    """A folder that is not a record, or cannot be read."""


def one_line(text: str) -> str:
    """Escape every character that could move the cursor or hide text."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)
