"""Faults of a case file, all reported at once, one line each."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

from hoopwright.errors import CaseError, Fault, one_line

MAX_QUOTED = 60
"""Most characters of the user's own text that an error repeats."""


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
