"""What presets filled into a case."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class FilledValue:
    """One value that a preset filled in.

    heading: of the table, e.g. "[fit]". value: as a case would give it. kind, name: of the preset. basis,
    source: as in presets.PresetValue. pair: the two metals it holds for, or "".
    """

    heading: str
    key: str
    value: str | float
    kind: str
    name: str
    basis: str
    source: str
    pair: str = ""

    @property
    def preset(self) -> str:
        """The preset in words, e.g. "use cargo"."""
        return f"{self.kind.replace('_', ' ')} {self.name}"


@dataclass(frozen=True)
class Presets:
    """All that presets filled in, and what is to be said of those that could not fill all they have."""

    filled: tuple[FilledValue, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The presets that filled something in, in words, each once."""
        return tuple(dict.fromkeys(v.preset for v in self.filled))
