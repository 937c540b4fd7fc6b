"""Units of the reader in advice on a case: that which a bare number lacks, and examples in inch units."""

from __future__ import annotations

import re
from math import log
from typing import Literal

from hoopwright.case.common_units import INCH, convert_common

System = Literal["metric", "inch"]

INCH_UNITS = {
    "um": "thou",
    "mm": "in",
    "cm": "in",
    "m": "in",
    "N": "lbf",
    "kN": "lbf",
    "N*m": "ft*lbf",
    "MPa": "ksi",
    "GPa": "ksi",
    "bar": "psi",
    "degC": "degF",
    "K": "delta_degF",
    "kg/m^3": "lb/in^3",
}
"""Unit of an inch reader by that of an example."""
_MM = re.compile(r"(\d[\d.]*(?: to \d[\d.]*)?) mm\b(?: \([\d.e-]+ in\))?")
WRITTEN: dict[System, dict[str, tuple[str, ...]]] = {
    "metric": {
        "um": ("um", "mm"),
        "mm": ("mm", "um"),
        "N": ("N", "kN"),
        "kN": ("N", "kN"),
        "MPa": ("MPa", "GPa"),
        "GPa": ("MPa", "GPa"),
        "kg/m^3": ("kg/m^3", "g/cm^3"),
        "min": ("s", "min", "h"),
        "h": ("min", "h"),
        "tpi": ("tpi", "mm"),
    },
    "inch": {
        "um": ("thou", "in"),
        "mm": ("in", "thou"),
        "N": ("lbf",),
        "kN": ("lbf",),
        "N*m": ("ft*lbf", "in*lbf"),
        "MPa": ("psi", "ksi"),
        "GPa": ("psi", "ksi", "Mpsi"),
        "bar": ("psi",),
        "degC": ("degF",),
        "K": ("delta_degF",),
        "/K": ("/delta_degF",),
        "kg/m^3": ("lb/in^3",),
        "min": ("s", "min", "h"),
        "h": ("min", "h"),
        "tpi": ("tpi", "in"),
    },
}
"""Units in which a number may have been meant, by that of the example; where none stands here, that one."""
ALIASES = {"short ton": ("force_ton", 1.0), "Mpsi": ("ksi", 1000.0)}
"""Units that a reader may write, as known ones times a factor."""
LARGE_IN = 12.0
"""Number from which on an inch reader has likely given a length in mm."""
PRESS_KN = 20.0
"""Force from which on it is that of a press, which the plate may give in tons."""
SMALL_INCH = 0.05
"""Length, in, below which it is said in thou."""
METRIC_UNITS = {
    "thou": "um",
    "in": "mm",
    "lbf": "N",
    "ft*lbf": "N*m",
    "ksi": "MPa",
    "psi": "bar",
    "degF": "degC",
    "delta_degF": "K",
    "lb/in^3": "kg/m^3",
}
"""The reverse: unit of a metric reader by that of an inch one."""


def likely_unit(number: float, example: str, system: System) -> str:
    """The unit that a number without one likely has: of those that the reader writes, the one that brings
    it nearest to the example, in ratio.

    So a tolerance of 0.005 is in mm, one of 5 in µm; a force of 1000 is in N, one of 20 in kN; likewise in
    inch units. Common practice, no source.
    """
    size, _, unit = example.partition(" ")
    usual, found = abs(float(size)), WRITTEN[system].get(unit, (unit,))
    if system == "inch" and unit == "mm" and abs(number) >= LARGE_IN:
        found = (*found, "mm")
    if system == "inch" and unit == "kN" and usual >= PRESS_KN:
        found = (*found, "short ton")
    if not usual or not number:
        return "mm" if system == "inch" and "mm" in found else found[0]
    if len(found) == 1:
        return found[0]
    return min(found, key=lambda one: abs(log(_value(abs(number), one, unit) / usual)))


def _value(number: float, unit: str, into: str) -> float:
    """A number in a unit that may be written, in that of an example."""
    if unit == into:
        return number
    known, factor = ALIASES.get(unit, (unit, 1.0))
    value = convert_common(factor * number, known, "in" if into == "tpi" else into)
    assert value is not None, (unit, into)
    return 1.0 / value if into == "tpi" else value


def system_of(units: str | None) -> System:
    """The system that a case names; metric where it names none."""
    return "inch" if units == "inch" else "metric"


TENTH_OF_A_THOU, TO_BE_WRITTEN = 4, 8
"""Decimals of a length in inches: as it is told, and as it has to be written where ends are to meet."""


def lengths_in(text: str, system: System, decimals: int = TENTH_OF_A_THOU) -> str:
    """A text with its lengths in mm, e.g. "0 to 14 mm", in the unit of the reader; what is told in both
    units stands in the one alone."""
    if system == "metric":
        return text

    def inches(found: re.Match[str]) -> str:
        lengths = (round(float(mm) / INCH, decimals) for mm in found[1].split(" to "))
        return " to ".join(f"{length:.{decimals + 3}g}" for length in lengths) + " in"

    return _MM.sub(inches, text)


def example_for(example: str, system: System) -> str:
    """An example of a quantity in the units of the reader, to three digits."""
    number, _, unit = example.partition(" ")
    if system == "metric" or unit not in INCH_UNITS:
        return example
    value = convert_common(float(number), unit, INCH_UNITS[unit])
    if value is None:
        return example
    into = INCH_UNITS[unit]
    if into == "in" and 0.0 < abs(value) < SMALL_INCH:
        value, into = 1000.0 * value, "thou"
    return f"{value:.3g} {into}"


def quantity_for(value: str | float, system: System) -> str | float:
    """A value of a case in the units of the reader, to four digits; one without a unit, or with one of the
    reader's, as it is."""
    number, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
    into = (INCH_UNITS if system == "inch" else METRIC_UNITS).get(unit)
    found = None if into is None else convert_common(float(number), unit, into)
    if found is None or into is None:
        return value
    if into == "in" and 0.0 < abs(found) < SMALL_INCH:
        found, into = 1000.0 * found, "thou"
    return f"{float(f'{found:.4g}'):.10g} {into}"
