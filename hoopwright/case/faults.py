"""What is wrong with a case file, one line per fault, all of them at once."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

SHOWN = 60
"""Characters of the user's own text that an error repeats."""

MOST_LINES = 40


@dataclass(frozen=True)
class Fault:
    """One fault: where (file, table as headed in the file, key), what, and what to write instead.

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
    """A case file that cannot be used. faults: all of them, in the order of reading."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        lines = [str(fault) for fault in self.faults[:MOST_LINES]]
        if len(self.faults) > MOST_LINES:
            lines.append(f"{self.faults[0].file}: and {len(self.faults) - MOST_LINES} more faults")
        return "\n".join(lines)


@dataclass
class Faults:
    """Collects the faults of one file."""

    file: str
    found: list[Fault] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.file = shortened(self.file, 200)

    def add(self, table: str, key: str, problem: str, advice: str = "", *, given: str = "") -> None:
        self.found.append(Fault(self.file, table, shortened(key), problem, advice, given))

    def raise_if_any(self) -> None:
        """Raises CaseError with every fault so far; does nothing when there is none."""
        if self.found:
            raise CaseError(tuple(self.found))


def one_line(text: str) -> str:
    """The text with every character that could move the cursor or hide text escaped."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)


def shortened(text: str, length: int = SHOWN) -> str:
    """One line of at most `length` characters, escapes counted afterwards."""
    text = text if len(text) <= length else text[: length - 1] + "…"
    return one_line(text)


def shown(value: Any) -> str:
    """A value from a TOML file as it looks there, short enough to repeat in an error."""
    if isinstance(value, str):
        return shortened(json.dumps(value[: 2 * SHOWN], ensure_ascii=False))
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{ ... }"
    if isinstance(value, list):
        return "[ ... ]"
    if isinstance(value, int) and abs(value) >= 10**SHOWN:
        return "a very long number"
    return shortened(str(value))
