"""Units of the reader in advice on a case: that which a bare number lacks, and examples in inch units."""

from __future__ import annotations

import re
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
}
"""Unit of an inch reader by that of an example."""
_MM = re.compile(r"(\d[\d.]*(?: to \d[\d.]*)?) mm\b")
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
}
"""The reverse: unit of a metric reader by that of an inch one."""


def likely_unit(number: float, example_unit: str, system: System) -> str:
    """The unit that a number without one likely has.

    A tolerance of 0.005 is in mm, one of 5 in µm; a force of 1000 is in N, one of 20 in kN; likewise in
    inch units. Common practice, no source.
    """
    size = abs(number)
    if system == "metric":
        if example_unit == "um":
            return "mm" if size < 0.5 else "um"
        if example_unit in ("N", "kN"):
            return "N" if size >= 100.0 else "kN"
        return example_unit
    if example_unit == "um":
        return "in" if size < 0.05 else "thou"
    if example_unit == "mm":
        return "in" if size < 12.0 else "mm"
    return INCH_UNITS.get(example_unit, example_unit)


def system_of(units: str | None) -> System:
    """The system that a case names; metric where it names none."""
    return "inch" if units == "inch" else "metric"


def lengths_in(text: str, system: System) -> str:
    """A text with its lengths in mm, e.g. "0 to 14 mm", in the unit of the reader, to a tenth of a thou."""
    return text if system == "metric" else _MM.sub(_inches, text)


def _inches(found: re.Match[str]) -> str:
    return " to ".join(f"{round(float(mm) / INCH, 4):g}" for mm in found[1].split(" to ")) + " in"


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
