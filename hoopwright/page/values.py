"""What was typed on the page, as a value of a case file."""

from __future__ import annotations

import json
import re
from typing import Any

import tomlkit

from hoopwright.case.keys import Key
from hoopwright.case.quantity import KINDS
from hoopwright.case.reader_units import INCH_UNITS, System

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_FRACTION = re.compile(r"(?:[0-9]{1,4}[ -]+)?[0-9]{1,4}/[0-9]{1,4}")
_TOML_NUMBER = re.compile(r"[+-]?(?:0|[1-9][0-9]{0,17})(?:\.[0-9]{1,20})?(?:[eE][+-]?[0-9]{1,3})?")
_BETWEEN = re.compile(r"\s*(?:,|;|\bto\b)\s*")


def bare_unit(key: Key, system: System) -> str:
    """The unit of a number that is typed without one, from the example of the key: mm of a size and µm of
    its uncertainty, in and thou in inch units. "" for a key that is no quantity."""
    if key.kind == "limits":
        example = key.example[0]
    elif key.kind in KINDS:
        example = key.example or KINDS[key.kind].example
    else:
        return ""
    unit = example.partition(" ")[2]
    return INCH_UNITS.get(unit, unit) if system == "inch" else unit


def is_number(text: str) -> bool:
    """Whether a text is a number without a unit; a fraction is in inches."""
    return bool(_NUMBER.fullmatch(text.replace("−", "-")))


def toml_value(key: Key, typed: str, system: System) -> str:
    """The text of the value in the file. What is no value of the kind of the key becomes a text, in which
    the reader of the case finds the fault."""
    text = _lines(typed)
    if key.kind in ("number", "integer") and _TOML_NUMBER.fullmatch(text):
        return text
    if key.kind == "flag" and text in ("true", "false"):
        return text
    if key.kind == "limits":
        return f"[{', '.join(_quoted(_with_unit(key, part, system)) for part in _BETWEEN.split(text))}]"
    return _quoted(_with_unit(key, text, system) if key.kind in KINDS else text)


def item(written: str) -> Any:
    """A value of the file, ready to be put into a document."""
    return tomlkit.parse(f"value = {written}\n").item("value")


def _with_unit(key: Key, text: str, system: System) -> str:
    text = text.replace("−", "-")
    unit = bare_unit(key, system)
    if _NUMBER.fullmatch(text):
        return f"{text} {unit}"
    if _FRACTION.fullmatch(text) and unit in ("in", "thou"):
        return f"{text} in"
    return text


def _lines(typed: str) -> str:
    """A text with the line ends of a file; a form sends those of the network."""
    return typed.replace("\r\n", "\n").replace("\r", "\n").strip()


def _quoted(text: str) -> str:
    """A text in quotes: what JSON escapes, TOML reads alike, but for the one control character that JSON
    leaves alone."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
