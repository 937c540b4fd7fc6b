"""A quantity as it stands in a field: number and unit, the same in the other system, and one step of it."""

from __future__ import annotations

import re
from typing import Any

from hoopwright.case import quantity
from hoopwright.case.keys import Key
from hoopwright.case.reader_units import INCH_UNITS, System
from hoopwright.display import Units
from hoopwright.page.values import bare_unit

INCH_ONLY = frozenset(
    (*INCH_UNITS.values(), "inch", "inches", "tenth", "tenths", "in*lbf", "short ton", "tpi")
)
"""Units of an inch reader, as a case writes them."""
WRITTEN_AS = {
    "um": "µm",
    "degC": "°C",
    "degF": "°F",
    "delta_degF": "°F",
    "delta_degC": "K",
    "N*m": "N·m",
    "ft*lbf": "ft·lbf",
    "in*lbf": "in·lbf",
    "deg": "°",
}
READ_WITH_A_GAUGE = re.compile(
    r"bore_now|.*(?:diameter|plus_minus|runout|ovality|lobe|closure|error|resolution|repeatability|gap).*"
)
"""Keys of lengths that are not read with a rule."""
FINE_MM = 0.1
"""Length below which it is said in µm or thou."""
GAUGE_STEP = {
    "mm": "0.001",
    "um": "1",
    "µm": "1",
    "in": "0.0001",
    "thou": "0.1",
    "tenth": "1",
    "tenths": "1",
}
RULE_STEP = {"mm": "0.1", "in": "0.005"}
OTHER_STEP = {
    "N": "10",
    "kN": "0.1",
    "lbf": "5",
    "N*m": "1",
    "ft*lbf": "1",
    "in*lbf": "1",
    "degC": "1",
    "degF": "1",
    "K": "1",
    "delta_degF": "1",
    "bar": "1",
    "psi": "10",
    "MPa": "1",
    "GPa": "1",
    "ksi": "0.1",
    "s": "10",
    "min": "1",
    "h": "1",
    "deg": "1",
}
ON_A_GAUGE = {"bar": "psi", "psi": "bar"}
"""What a press gauge shows in the other system."""
HEAVY_N = 1e4
"""Force from which on it is said in kN."""
STEP_OF_KIND = {"number": "0.01", "integer": "1"}
_QUANTITY = re.compile(r"\s*([+-−]?[0-9][0-9./eE −-]*?|[+-−]?\.[0-9]+)\s*(/?\s*[A-Za-zµ°(].*?)\s*")


def is_quantity(key: Key) -> bool:
    return key.kind in quantity.KINDS


def split(typed: Any, key: Key, system: System) -> tuple[str, str]:
    """What stands in the field and the unit beside it.

    A quantity in any other unit than that of a bare number stands whole in the field, so that a number
    typed over it is never taken for one of that other unit unseen.
    """
    text = shown(typed)
    number, unit = parts_of(text)
    if not unit or unit != bare_unit(key, system):
        return text, ""
    return number, unit


def parts_of(text: str) -> tuple[str, str]:
    """Number and unit of a quantity; "" for both where it is none."""
    found = _QUANTITY.fullmatch(text)
    return (found[1].strip(), found[2]) if found else ("", "")


def shown(typed: Any) -> str:
    """A value of the file as one types it."""
    if typed is None:
        return ""
    if isinstance(typed, bool):
        return "true" if typed else "false"
    return f"{typed:.12g}" if isinstance(typed, float) else str(typed)


def written_unit(unit: str) -> str:
    return WRITTEN_AS.get(unit, unit)


def in_print(text: str) -> str:
    """A quantity as printed: its unit as a person writes it, and a real minus sign."""
    number, unit = parts_of(text)
    return f"{number.replace('-', '−')} {written_unit(unit)}" if unit else text


def echo(typed: Any, key: Key) -> str:
    """The quantity in the system that it is not typed in; "" for what has no unit or is not understood."""
    _, unit = parts_of(shown(typed))
    if not is_quantity(key) or not unit:
        return ""
    try:
        value = quantity.parse(typed, key.kind)
    except quantity.QuantityError:
        return ""
    if value == 0.0 and key.kind in ("length", "pitch"):
        return ""
    if unit in ON_A_GAUGE:
        return f"{quantity.converted(value, 'MPa', ON_A_GAUGE[unit]):.3g} {ON_A_GAUGE[unit]}"
    return in_words(value, key.kind, Units("metric" if unit in INCH_ONLY else "inch"))


def in_words(value: float, kind: str, units: Units) -> str:
    """A quantity in internal units, with its unit; "" for kinds that both systems give alike."""
    if kind in ("length", "pitch"):
        fine = 0.0 < abs(value) < FINE_MM
        return units.text(1e3 * value, "um") if fine else units.text(value, "mm")
    if kind == "force" and units.system == "metric" and abs(value) >= HEAVY_N:
        return f"{1e-3 * value:.1f} kN"
    if kind == "force":
        return units.text(value, "N")
    if kind == "torque":
        return units.text(1e-3 * value, "N*m")
    if kind == "stress":
        return units.text(value, "MPa")
    if kind == "temperature":
        return units.text(20.0 + value, "degC")
    if kind == "temperature_difference":
        return f"{value:g} K" if units.system == "metric" else f"{1.8 * value:g} °F"
    return ""


def step_of(key: Key, unit: str) -> str:
    """One step of the arrow keys and of − and +; "" for what has none."""
    if not is_quantity(key):
        return STEP_OF_KIND.get(key.kind, "")
    if unit in RULE_STEP and not READ_WITH_A_GAUGE.fullmatch(key.name):
        return RULE_STEP[unit]
    return GAUGE_STEP.get(unit) or OTHER_STEP.get(unit, "")


def is_signed(key: Key) -> bool:
    """Whether a value below zero makes sense there, so that a key for the sign stands beside the field."""
    if key.kind == "temperature":
        return not key.minimum or key.minimum.startswith("-")
    return is_quantity(key) and str(key.example).startswith("-")
