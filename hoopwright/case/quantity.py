"""Parse text such as "46.02 mm" or "2 thou" into a plain number in internal units.

Strict patterns check the number and the form of the unit; only a unit that passes reaches pint,
because pint evaluates its text as an expression: "9**9**9 mm" would never return.
"""

from __future__ import annotations

import math
import re
import threading
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from hoopwright.case.common_units import convert_common, to_internal
from hoopwright.case.reader_units import System, likely_unit

MAX_LENGTH = 60


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: its name with article, internal unit, an example and the plausible range.

    plausible_max: magnitude beyond which a wrong unit is likelier than a real job; common practice,
    no source. reference: subtracted from the value in `unit`.
    """

    noun: str
    unit: str
    example: str
    plausible_max: str
    reference: float = 0.0


KINDS = {
    "length": Kind("a length", "mm", "83 mm", "5 m"),
    "pitch": Kind("a pitch", "mm", "1 mm", "50 mm"),
    "angle": Kind("an angle", "rad", "70 deg", "360 deg"),
    "force": Kind("a force", "N", "2 kN", "10 MN"),
    "torque": Kind("a torque", "N*mm", "50 N*m", "100 kN*m"),
    "stress": Kind("a stress", "MPa", "276 MPa", "2000 GPa"),
    "temperature": Kind("a temperature", "degC", "20 degC", "2000 degC", reference=20.0),
    "temperature_difference": Kind("a temperature difference", "delta_degC", "5 K", "2000 K"),
    "expansion": Kind("an expansion coefficient", "1/K", "23.1e-6 /K", "1e-3 /K"),
    "time": Kind("a time", "s", "20 min", "2000 h"),
    "density": Kind("a density", "kg/m^3", "2700 kg/m^3", "30000 kg/m^3"),
}
"""Kinds by name. Internal units: mm, rad, N, N·mm, MPa, K above 20 °C (ISO 1), K, 1/K, s, kg/m³."""

# Unit texts, by kind, that a shop may write and that pint takes for another unit or does not know.
_LENGTHS = {
    "mil": "mil is an angle here; write thou",
    "mils": "mil is an angle here; write thou",
    "MM": "write mm in small letters",
    "Mm": "Mm is megametres; write mm",
    "m": "m is metres; write mm for millimetres",
    '"': "write in for inches",
}
_TON = "a ton is 1000 kgf, 2000 lbf or 2240 lbf; write metric ton, short ton or long ton"
_LB, _KG = "lb is a mass here; write lbf", "kg is a mass here; write kgf or N"
_MASS_UNITS = {"lb": _LB, "lbs": _LB, "kg": _KG, "kgs": _KG}
UNIT_PITFALLS = {
    "length": _LENGTHS,
    "pitch": _LENGTHS,
    "force": {**_MASS_UNITS, "ton": _TON, "tons": _TON, "T": _TON},
    "torque": _MASS_UNITS,
    "stress": {"mPa": "mPa is millipascal; write MPa", "lb": _LB},
    "temperature": {"F": "F is farad here; write degF", "C": "C is coulomb here; write degC"},
}

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?(?![0-9])")
_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]")
_FRACTION = re.compile(r"(?:([0-9]{1,4})[ -]+)?([0-9]{1,4})/([0-9]{1,4})(?![0-9])\s*(.*)", re.S)
_INCHES = ("in", "inch", "inches")
_TONS = (
    (re.compile(r"(?:metric tons?|tonnes?|t)"), "force_metric_ton"),
    (re.compile(r"(?:short|US) tons?"), "force_ton"),
    (re.compile(r"(?:long|UK|imperial) tons?"), "force_long_ton"),
)
"""Capacities of presses as their plates give them: 1000 kgf, 2000 lbf and 2240 lbf."""

_NAME = r"(?:delta_)?°?[A-Za-zµ]+(?:\s*(?:\^|\*\*)\s*-?[1-4])?"
_PRODUCT = rf"{_NAME}(?:\s*[*/ ]\s*{_NAME})*"
_FACTOR = rf"(?:{_NAME}|\(\s*{_PRODUCT}\s*\))"
_UNIT = re.compile(rf"(?:1\s*/\s*)?{_FACTOR}(?:\s*[*/ ]\s*{_FACTOR})*")


_one_at_a_time = threading.RLock()
"""Round whatever uses pint: units of two registries do not go together, and its caches know no threads."""


class QuantityError(ValueError):
    """Raised for a text that is not a quantity of the kind asked for.

    problem: what is wrong. suggestion: the value to write, where it can be guessed, else "".
    hint: further advice, or "".
    """

    def __init__(self, problem: str, *, suggestion: str = "", hint: str = "") -> None:
        super().__init__(problem)
        self.problem, self.suggestion, self.hint = problem, suggestion, hint


def parse(value: Any, kind: str, *, example: str = "", system: System = "metric") -> float:
    """Magnitude of a quantity text in the internal unit of `kind` (a key of KINDS).

    Rounded to twelve digits, so that a size gives the same number in inches and in mm.
    example: a quantity in such a unit as the error suggests; "" for the example of the kind. system: of
    the reader.
    Raises QuantityError for anything but `number unit` of the right dimension and a plausible size.
    """
    rule = KINDS[kind]
    example = example or rule.example
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise QuantityError(
            "a bare number, its unit is missing", suggestion=_with_unit(value, kind, example, system)
        )
    if not isinstance(value, str):
        raise QuantityError("not a text with a number and a unit")
    number, unit = _split(value, kind, example, system)
    result = _internal_value(number, unit, kind)
    if not abs(result) <= _plausible_max(kind):
        hint = _pitfall(unit, kind) or "check its unit and digits"
        raise QuantityError(f"beyond {rule.plausible_max}, more than any job needs", hint=hint)
    if kind == "temperature" and result < -293.15:
        raise QuantityError("below absolute zero")
    return result


def _with_unit(number: Any, kind: str, example: str, system: System) -> str:
    """The number with the unit that it likely lacks, "" where that would be no plausible quantity."""
    text = str(number)
    powers = ("", "e-6") if kind == "expansion" else ("",)  # tables give it in millionths
    for written in (text + power for power in powers):
        if _NUMBER.fullmatch(written) and len(written) < 20:
            unit = likely_unit(float(written), example, system)
            if abs(_internal_value(float(written), unit, kind)) <= _plausible_max(kind):
                return f"{written} {unit}"
    return ""


def _split(text: str, kind: str, example: str, system: System) -> tuple[float, str]:
    """Split a quantity into number and unit text, with a message for each way the number can be wrong."""
    if len(text) > MAX_LENGTH:
        raise QuantityError(f"longer than {MAX_LENGTH} characters, not a quantity")
    text = text.strip().replace("−", "-")
    if not text:
        raise QuantityError("empty")
    if re.match(r"[+-]?(nan|inf)", text, re.IGNORECASE) and not text.startswith("in "):
        raise QuantityError("not a finite number")
    if _COMMA.match(text):
        suggestion = text.replace(",", ".") if text.count(",") == 1 and "." not in text else ""
        hint = "the decimal sign is a point, and thousands are not grouped"
        raise QuantityError("a comma in the number", suggestion=suggestion, hint=hint)
    if fraction := _FRACTION.match(text):
        return _inches(fraction)
    found = _NUMBER.match(text)
    if found is None:
        raise QuantityError("does not start with a number")
    return _parse_float(found[0]), _unit_after(text, found, kind, example, system)


def _unit_after(text: str, found: re.Match[str], kind: str, example: str, system: System) -> str:
    unit = text[found.end() :].strip()
    if not unit:
        raise QuantityError("no unit", suggestion=_with_unit(found[0], kind, example, system))
    if "±" in unit or "+/-" in unit:
        raise QuantityError("a tolerance inside a size", hint="give it as plus_minus on its own")
    return unit


def _inches(fraction: re.Match[str]) -> tuple[float, str]:
    """A fraction of an inch, as on a drawing; other units have decimals."""
    whole, above, below, unit = fraction.groups()
    if int(below) == 0:
        raise QuantityError("a fraction with nothing below the line")
    value = int(whole or 0) + int(above) / int(below)
    if not unit:
        raise QuantityError("no unit", suggestion=f"{fraction[0].strip()} in")
    if unit.strip() not in _INCHES:
        suggestion = f"{value:.10g} {unit}".strip()
        raise QuantityError("a fraction", suggestion=suggestion, hint="only inches have fractions")
    return value, unit.strip()


def _parse_float(text: str) -> float:
    number = float(text)
    if math.isinf(number):
        raise QuantityError("too large for a number")
    if number == 0.0 and re.search("[1-9]", re.split("[eE]", text)[0]):
        raise QuantityError("too small for a number")
    return number


def _internal_value(number: float, unit: str, kind: str) -> float:
    rule = KINDS[kind]
    if kind == "pitch" and unit == "tpi":
        number, unit = _per_inch(number), "in"
    by_common_unit = to_internal(number, _pint_text(unit, kind), kind)
    result = _by_registry(number, unit, kind) if by_common_unit is None else by_common_unit
    if not math.isfinite(result):
        raise QuantityError("too large for a number")
    return float(f"{result:.12g}") if rule.reference == 0.0 else round(result, 9)


def _per_inch(threads: float) -> float:
    if threads <= 0.0:
        raise QuantityError("not a number of threads")
    return 1.0 / threads


def _by_registry(number: float, unit: str, kind: str) -> float:
    import pint

    rule = KINDS[kind]
    with _one_at_a_time:
        source = _pint_unit(unit, kind)
        try:
            return float(_registry().Quantity(number, source).m_as(_internal_unit(kind))) - rule.reference
        except (pint.errors.PintError, OverflowError):
            raise QuantityError(f"not {rule.noun}", hint=_pitfall(unit, kind)) from None


def _pitfall(unit: str, kind: str) -> str:
    confused = UNIT_PITFALLS.get(kind, {})
    names = re.findall(r"[A-Za-z]+", unit) or [unit]
    return next((confused[name] for name in names if name in confused), "")


def converted(value: float, unit: str, into: str) -> float:
    """Convert a value from one unit into another, both by pint's names, for display."""
    by_common_unit = convert_common(value, unit, into)
    if by_common_unit is not None:
        return by_common_unit
    with _one_at_a_time:
        return float(_registry().Quantity(value, unit).m_as(into))


@cache
def _registry() -> Any:
    """pint's registry, extended by the tenth (of a thou). It is built on first use because that is slow."""
    import pint

    registry: Any = pint.UnitRegistry()
    registry.define("tenth = 0.0001 * inch")
    return registry


@cache
def _internal_unit(kind: str) -> Any:
    """Internal unit of a kind as a pint object, cached because parsing its text dominates the run time."""
    return _registry().parse_units(KINDS[kind].unit)


@lru_cache(maxsize=256)
def parse_limit(text: str, kind: str) -> float:
    """Cached `parse`, for the limits written in the tool itself."""
    return parse(text, kind)


@cache
def _plausible_max(kind: str) -> float:
    number, _, unit = KINDS[kind].plausible_max.partition(" ")
    return abs(_internal_value(float(number), unit, kind))


@lru_cache(maxsize=256)
def _pint_unit(unit: str, kind: str) -> Any:
    """pint unit of a unit text. Raises QuantityError where pint does not know it."""
    import pint

    text = _pint_text(unit, kind)
    if len(text) > 30 or not _UNIT.fullmatch(text):
        raise QuantityError("the unit after the number is not understood", hint=_pitfall(unit, kind))
    try:
        return _registry().parse_units(text)
    except (pint.errors.PintError, ValueError, TypeError, KeyError):
        hint = _pitfall(unit, kind) or _lower_case_hint(text)
        raise QuantityError("the unit after the number is not known", hint=hint) from None


@lru_cache(maxsize=256)
def _pint_text(unit: str, kind: str) -> str:
    """Unit text in pint's spelling; degrees become delta degrees where the kind is a difference."""
    if kind == "force":
        for name, ton in _TONS:
            if name.fullmatch(unit):
                return ton
    text = _normalised(unit)
    if KINDS[kind].unit.startswith("delta_"):
        text = re.sub(r"(?<![_A-Za-z])(?:deg|°)([CF])\b", r"delta_deg\1", text)
    return text


def _normalised(unit: str) -> str:
    """Normalise the spellings of a unit: Nm, N·m and N.m, in-lbf, deg C, /K, m3."""
    text = re.sub("[·⋅.]", "*", unit.replace("μ", "µ"))
    text = re.sub(r"(?<=[A-Za-z])-(?=[A-Za-z])", "*", text)
    text = re.sub(r"\b([kM]?N)(mm?)\b", r"\1*\2", text)  # pint reads Nm as another unit
    text = re.sub(r"\bdeg ([CF])\b", r"deg\1", text)
    text = text.replace("²", "^2").replace("³", "^3")
    text = re.sub(r"(?<=[A-Za-z])(?=[2-4]\b)", "^", text)  # N/mm2, kg/m3
    return "1" + text if text.startswith("/") else text


def _lower_case_hint(text: str) -> str:
    """Advice where only the capitals are wrong, as in IN or Thou, else ""."""
    small = text.lower()
    common = ("mm", "um", "in", "inch", "inches", "thou", "tenth", "tenths", "psi", "ksi", "lbf")
    return f"write {small} in small letters" if small in common and small != text else ""
