"""Words and values of the lines of a working, for screen and pages."""

from __future__ import annotations

from typing import Any

from hoopwright.display.units import Units
from hoopwright.display.written import as_written

DIGITS = 6
DIGITS_OF_A_SIZE = 8
"""Significant digits shown; of sizes more, as an interference is the small difference of two."""


def value_text(line: dict[str, Any], units: Units) -> str:
    """Value and unit as worked, in mm, N and MPa; for readers in inches theirs in brackets."""
    unit = line["unit"]
    if line["value"] is None:
        return "without end"
    digits = DIGITS_OF_A_SIZE if unit == "mm" else DIGITS
    text = f"{line['value']:.{digits}g} {as_written(unit)}".strip()
    if units.system == "inch" and units.label(unit) != unit:
        return f"{text} ({units.text(line['value'], unit)})"
    return text


def said_of(line: dict[str, Any]) -> str:
    """What a line is, and where it comes from."""
    origin, source = line["origin"], line["source"]
    if origin:
        return f"{line['meaning']} [{origin}: {source}]"
    return f"{line['meaning']} [{source}]" if source else line["meaning"]
