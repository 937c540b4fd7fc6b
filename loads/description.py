"""Description of a load in words, with its quantities kept apart so that they can be shown in any units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


def _plain(value: float, unit: str) -> str:
    return f"{value:g} {unit}"


@dataclass(frozen=True)
class LoadDescription:
    """A sentence and the quantities in it.

    template: the sentence, with {} in place of each quantity; quantities: value and unit (mm, N) of
    each, in order.
    """

    template: str
    quantities: tuple[tuple[float, str], ...] = ()

    def said(self, write: Callable[[float, str], str] = _plain) -> str:
        """The sentence with its quantities. write: formats a value and its unit; by default as stored."""
        return self.template.format(*(write(value, unit) for value, unit in self.quantities))
