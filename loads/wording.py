"""A load in words whose quantities each reader sees in units of their own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


def _plain(value: float, unit: str) -> str:
    return f"{value:g} {unit}"


@dataclass(frozen=True)
class Wording:
    """words: a sentence with {} in place of each quantity; quantities: value and unit (mm, N), in turn."""

    words: str
    quantities: tuple[tuple[float, str], ...] = ()

    def said(self, shown: Callable[[float, str], str] = _plain) -> str:
        """The sentence. shown: writes a value and its unit; as they are unless given."""
        return self.words.format(*(shown(value, unit) for value, unit in self.quantities))
