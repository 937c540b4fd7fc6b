"""Words and values of the lines of a working, for screen and pages."""

from __future__ import annotations

import re
from typing import Any, Final

from hoopwright.case.common_units import COMMON_UNITS, FAHRENHEIT, INCH, POUND_FORCE
from hoopwright.display.units import Units
from hoopwright.display.written import as_written

DIGITS = 6
DIGITS_OF_A_SIZE = 8
"""Significant digits shown; of sizes more, as an interference is the small difference of two."""
KSI = COMMON_UNITS["stress"]["ksi"][0]
IN_INCHES: Final = {
    "mm": ("in", 1.0 / INCH),
    "um": ("thou", 1.0 / INCH),
    "mm^2": ("in²", INCH**-2),
    "mm^3": ("in³", INCH**-3),
    "1/mm": ("1/in", INCH),
    "N": ("lbf", 1.0 / POUND_FORCE),
    "N*mm": ("in·lbf", 1.0 / (POUND_FORCE * INCH)),
    "N*m": ("ft·lbf", 1e3 / (12.0 * INCH * POUND_FORCE)),
    "N/mm": ("lbf/in", INCH / POUND_FORCE),
    "N*mm^2": ("lbf·in²", INCH**-2 / POUND_FORCE),
    "MPa": ("ksi", 1.0 / KSI),
    "mm/MPa": ("in/ksi", KSI / INCH),
    "K": ("°F", 1.0 / FAHRENHEIT),
    "1/K": ("1/°F", FAHRENHEIT),
}
"""Unit of a line: the inch unit, and how many of it. Temperatures are differences there."""
ALIKE = ("", "rad", "ksi", "MPa/ksi")
"""Units of a line that are the same for every reader."""
_NUMBER = r"[-−]?\d+(?:\.\d+)?"
_QUANTITY = re.compile(rf"(?:({_NUMBER}) to )?({_NUMBER}) (mm|N|MPa|°C)(?![\w·*²/])")
"""A quantity, or a stretch, in the words of a line."""


def worked_in(units: Units) -> str:
    """The units of the lines, in words."""
    return "mm, N and MPa" + (", with inch units in brackets" if units.system == "inch" else "")


def value_text(line: dict[str, Any], units: Units) -> str:
    """Value and unit as worked, in mm, N and MPa; for readers in inches theirs in brackets."""
    unit = line["unit"]
    if line["value"] is None:
        return "without end"
    digits = DIGITS_OF_A_SIZE if unit == "mm" else DIGITS
    text = f"{line['value']:.{digits}g} {as_written(unit)}".strip()
    if units.system == "inch" and unit not in ALIKE:
        label, factor = IN_INCHES[unit]
        return f"{text} ({factor * line['value']:.{digits}g} {label})"
    return text


def said_of(line: dict[str, Any], units: Units, before: dict[str, Any] | None = None) -> str:
    """What a line is, and where it comes from; no place twice in a row."""
    origin, source, meaning = line["origin"], line["source"], words_in_both(line["meaning"], units)
    if before and origin == "finite elements" and (before["origin"], before["source"]) == (origin, source):
        return meaning
    if origin == "finite elements":
        source = words_in_both(source, units)
    if origin:
        return f"{meaning} [{origin}: {source}]"
    return f"{meaning} [{source}]" if source else meaning


def words_in_both(words: str, units: Units) -> str:
    """Words with the quantities in them in inch units too, for readers in inches."""
    if units.system != "inch":
        return words

    def both(found: re.Match[str]) -> str:
        first, last, unit = found.groups()
        machine = {"°C": "degC"}.get(unit, unit)
        decimals = 2 if unit == "mm" else 0 if unit in ("N", "°C") else None
        shown = units.text(_value(last), machine, decimals=decimals)
        if first is not None:
            shown = f"{units.number(_value(first), machine, decimals=decimals)} to {shown}"
        return f"{found[0]} ({shown})"

    return _QUANTITY.sub(both, words)


def _value(number: str) -> float:
    return float(number.replace("−", "-"))
