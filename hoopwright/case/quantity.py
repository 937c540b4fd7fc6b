"""Text such as "46.02 mm" or "2 thou" to a plain number in the units used inside.

The number and the shape of the unit are checked here by strict patterns; only a unit that passes
reaches pint, because pint evaluates its text as an expression: "9**9**9 mm" would never return.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from hoopwright.case.usual_units import between, inside

LONGEST = 60


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: what to call it, its unit inside, an example, and what is plausible.

    largest: magnitude beyond which a slipped unit is likelier than a real job; common practice,
    no source. reference: subtracted from the value in `unit`.
    """

    called: str
    unit: str
    example: str
    largest: str
    reference: float = 0.0


KINDS = {
    "length": Kind("a length", "mm", "83 mm", "5 m"),
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
"""Inside: mm, rad, N, N·mm, MPa, K above 20 °C (ISO 1), K, 1/K, s, kg/m³."""

# What a shop may write that pint reads as something else, or not at all, by kind.
_LB, _KG = "lb is a mass here; write lbf", "kg is a mass here; write kgf or N"
_WEIGHTS = {"lb": _LB, "lbs": _LB, "kg": _KG, "kgs": _KG}
_MIL = "mil is an angle here; write thou"
CONFUSED = {
    "length": {
        "mil": _MIL,
        "mils": _MIL,
        "MM": "write mm in small letters",
        "Mm": "Mm is megametres; write mm",
        "m": "m is metres; write mm for millimetres",
        '"': "write in for inches",
    },
    "force": _WEIGHTS,
    "torque": _WEIGHTS,
    "stress": {"mPa": "mPa is millipascal; write MPa", "lb": _LB},
    "temperature": {"F": "F is farad here; write degF", "C": "C is coulomb here; write degC"},
}

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?(?![0-9])")
_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]")
_FRACTION = re.compile(r"(?:([0-9]{1,4})[ -]+)?([0-9]{1,4})/([0-9]{1,4})(?![0-9])\s*(.*)", re.S)

_NAME = r"(?:delta_)?°?[A-Za-zµ]+(?:\s*(?:\^|\*\*)\s*-?[1-4])?"
_PRODUCT = rf"{_NAME}(?:\s*[*/ ]\s*{_NAME})*"
_FACTOR = rf"(?:{_NAME}|\(\s*{_PRODUCT}\s*\))"
_UNIT = re.compile(rf"(?:1\s*/\s*)?{_FACTOR}(?:\s*[*/ ]\s*{_FACTOR})*")


class QuantityError(ValueError):
    """A text that is not a quantity of the kind asked for.

    problem: what is wrong. instead: the value to write, where it can be guessed, else "".
    hint: a further word of help, or "".
    """

    def __init__(self, problem: str, *, instead: str = "", hint: str = "") -> None:
        super().__init__(problem)
        self.problem, self.instead, self.hint = problem, instead, hint


def parse(value: Any, kind: str, *, example: str = "") -> float:
    """The magnitude of a quantity text in the unit of `kind` (a key of KINDS).

    Rounded to twelve digits, so that one size written in inches and in mm is one number.
    Raises QuantityError for anything that is not `number unit` of the right dimension and of a
    plausible size. example: a quantity whose unit the error suggests; that of the kind if "".
    """
    rule = KINDS[kind]
    likely = (example or rule.example).partition(" ")[2]
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise QuantityError("a bare number, its unit is missing", instead=_with_unit(value, likely))
    if not isinstance(value, str):
        raise QuantityError("not a text with a number and a unit")
    number, unit = _split(value, likely)
    result = _in_unit(number, unit, kind)
    if not abs(result) <= _largest(kind):
        hint = _confusion(unit, kind) or "check its unit and digits"
        raise QuantityError(f"beyond {rule.largest}, more than any job needs", hint=hint)
    if kind == "temperature" and result < -293.15:
        raise QuantityError("below absolute zero")
    return result


def _with_unit(number: Any, unit: str) -> str:
    text = str(number)
    return f"{text} {unit}" if _NUMBER.fullmatch(text) and len(text) < 20 else ""


def _split(text: str, likely: str) -> tuple[float, str]:
    """Number and unit text; every way to get the number wrong has its own message."""
    if len(text) > LONGEST:
        raise QuantityError(f"longer than {LONGEST} characters, not a quantity")
    text = text.strip().replace("−", "-")
    if not text:
        raise QuantityError("empty")
    if re.match(r"[+-]?(nan|inf)", text, re.IGNORECASE) and not text.startswith("in "):
        raise QuantityError("not a finite number")
    if _COMMA.match(text):
        instead = text.replace(",", ".") if text.count(",") == 1 and "." not in text else ""
        hint = "the decimal sign is a point, and thousands are not grouped"
        raise QuantityError("a comma in the number", instead=instead, hint=hint)
    if fraction := _FRACTION.match(text):
        raise QuantityError("a fraction", instead=_decimal(fraction), hint="write it as a decimal")
    found = _NUMBER.match(text)
    if found is None:
        raise QuantityError("does not start with a number")
    return _finite(found[0]), _unit_after(text, found, likely)


def _unit_after(text: str, found: re.Match[str], likely: str) -> str:
    unit = text[found.end() :].strip()
    if not unit:
        raise QuantityError("no unit", instead=_with_unit(found[0], likely))
    if "±" in unit or "+/-" in unit:
        raise QuantityError("a tolerance inside a size", hint="give it as plus_minus on its own")
    return unit


def _decimal(fraction: re.Match[str]) -> str:
    whole, above, below, unit = fraction.groups()
    if int(below) == 0:
        return ""
    return f"{int(whole or 0) + int(above) / int(below):.10g} {unit}".strip()


def _finite(text: str) -> float:
    number = float(text)
    if math.isinf(number):
        raise QuantityError("too large for a number")
    if number == 0.0 and re.search("[1-9]", re.split("[eE]", text)[0]):
        raise QuantityError("too small for a number")
    return number


def _in_unit(number: float, unit: str, kind: str) -> float:
    rule = KINDS[kind]
    usual = inside(number, _written(unit, kind), kind)
    result = _by_registry(number, unit, kind) if usual is None else usual
    if not math.isfinite(result):
        raise QuantityError("too large for a number")
    return float(f"{result:.12g}") if rule.reference == 0.0 else round(result, 9)


def _by_registry(number: float, unit: str, kind: str) -> float:
    import pint

    rule = KINDS[kind]
    source = _pint_unit(unit, kind)
    try:
        return float(_registry().Quantity(number, source).m_as(_inside(kind))) - rule.reference
    except (pint.errors.PintError, OverflowError):
        raise QuantityError(f"not {rule.called}", hint=_confusion(unit, kind)) from None


def _confusion(unit: str, kind: str) -> str:
    confused = CONFUSED.get(kind, {})
    names = re.findall(r"[A-Za-z]+", unit) or [unit]
    return next((confused[name] for name in names if name in confused), "")


def converted(value: float, unit: str, into: str) -> float:
    """The same quantity in another unit, both by pint's names; for display."""
    usual = between(value, unit, into)
    return float(_registry().Quantity(value, unit).m_as(into)) if usual is None else usual


@cache
def _registry() -> Any:
    """pint's registry with the shop's tenth (a tenth of a thou); made on first use, it is slow."""
    import pint

    registry: Any = pint.UnitRegistry()
    registry.define("tenth = 0.0001 * inch")
    return registry


@cache
def _inside(kind: str) -> Any:
    """The unit of a kind as pint's object: reading its text anew for every size takes most of the time."""
    return _registry().parse_units(KINDS[kind].unit)


@lru_cache(maxsize=256)
def limit(text: str, kind: str) -> float:
    """`parse` for texts of the tool's own, which come again and again."""
    return parse(text, kind)


@cache
def _largest(kind: str) -> float:
    number, _, unit = KINDS[kind].largest.partition(" ")
    return abs(_in_unit(float(number), unit, kind))


@lru_cache(maxsize=256)
def _pint_unit(unit: str, kind: str) -> Any:
    """The unit pint knows by this text. Raises QuantityError."""
    import pint

    text = _written(unit, kind)
    if len(text) > 30 or not _UNIT.fullmatch(text):
        raise QuantityError("the unit after the number is not understood", hint=_confusion(unit, kind))
    try:
        return _registry().parse_units(text)
    except (pint.errors.PintError, ValueError, TypeError, KeyError):
        hint = _confusion(unit, kind) or _small_letters(text)
        raise QuantityError("the unit after the number is not known", hint=hint) from None


@lru_cache(maxsize=256)
def _written(unit: str, kind: str) -> str:
    """The text of a unit as pint has it; degrees of a difference as such."""
    text = _plain(unit)
    if KINDS[kind].unit.startswith("delta_"):
        text = re.sub(r"(?<![_A-Za-z])(?:deg|°)([CF])\b", r"delta_deg\1", text)
    return text


def _plain(unit: str) -> str:
    """Ways of writing the same unit brought to one: Nm and N·m and N.m, in-lbf, deg C, /K, m3."""
    text = re.sub("[·⋅.]", "*", unit.replace("μ", "µ"))
    text = re.sub(r"(?<=[A-Za-z])-(?=[A-Za-z])", "*", text)
    text = re.sub(r"\b([kM]?N)(mm?)\b", r"\1*\2", text)  # pint takes Nm for something else
    text = re.sub(r"\bdeg ([CF])\b", r"deg\1", text)
    text = text.replace("²", "^2").replace("³", "^3")
    text = re.sub(r"(?<=[A-Za-z])(?=[2-4]\b)", "^", text)  # N/mm2, kg/m3
    return "1" + text if text.startswith("/") else text


def _small_letters(text: str) -> str:
    """A hint where only the capitals are wrong, as in IN or Thou."""
    small = text.lower()
    common = ("mm", "um", "in", "inch", "inches", "thou", "tenth", "tenths", "psi", "ksi", "lbf")
    return f"write {small} in small letters" if small in common and small != text else ""
