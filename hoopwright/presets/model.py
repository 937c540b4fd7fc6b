"""A preset and its values, each with its provenance."""

from __future__ import annotations

from dataclasses import dataclass

BASES = ("seen", "from memory", "common practice, no source", "our choice")
"""What a value can rest on. "seen": read in the source named; "from memory": recalled, not opened."""


@dataclass(frozen=True)
class PresetValue:
    """One value of a preset.

    table: path of the table of the case that it belongs to, e.g. ("cups", "left"). value: as a case would
    give it, a quantity with its unit. basis: one of BASES. source: the publication, or the reason; "" where
    there is none. pair: the two metals that it holds for, "" where they do not matter.
    """

    table: tuple[str, ...]
    key: str
    value: str | float
    basis: str
    source: str
    pair: str = ""


@dataclass(frozen=True)
class Preset:
    """One preset. kind: the key of [preset] that names it; what: what it stands for, in words. method: of
    [press], where it holds for that alone, else ""."""

    kind: str
    name: str
    what: str
    values: tuple[PresetValue, ...]
    method: str = ""
