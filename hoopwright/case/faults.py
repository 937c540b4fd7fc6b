"""Faults of a case file, all reported at once, one line each."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

MAX_QUOTED = 60
"""Most characters of the user's own text that an error repeats."""

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


class CaseError(Exception):
    """A case file that cannot be used. faults: all its faults, in the order they were found."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        lines = [str(fault) for fault in self.faults[:MAX_LINES]]
        if len(self.faults) > MAX_LINES:
            lines.append(f"{self.faults[0].file}: and {len(self.faults) - MAX_LINES} more faults")
        return "\n".join(lines)


@dataclass
class Faults:
    """Collector for the faults of one file."""

    file: str
    found: list[Fault] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.file = shortened(self.file, 200)

    def add(self, table: str, key: str, problem: str, advice: str = "", *, given: str = "") -> None:
        self.found.append(Fault(self.file, table, shortened(key), problem, advice, given))

    def raise_if_any(self) -> None:
        """Raise CaseError with every fault collected so far, if there is any."""
        if self.found:
            raise CaseError(tuple(self.found))


def one_line(text: str) -> str:
    """Escape every character that could move the cursor or hide text."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)


def shortened(text: str, length: int = MAX_QUOTED) -> str:
    """Cut the text to `length` characters and escape it to one line; the escapes may lengthen it."""
    text = text if len(text) <= length else text[: length - 1] + "…"
    return one_line(text)


def as_toml(value: Any) -> str:
    """A TOML value as it looks in the file, short enough to repeat in an error."""
    if isinstance(value, str):
        return shortened(json.dumps(value[: 2 * MAX_QUOTED], ensure_ascii=False))
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{ ... }"
    if isinstance(value, list):
        return "[ ... ]"
    if isinstance(value, int) and abs(value) >= 10**MAX_QUOTED:
        return "a very long number"
    return shortened(str(value))
