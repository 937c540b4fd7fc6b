"""Tables and keys of a case file as data, each with meaning, unit, limits, default and example."""

from __future__ import annotations

import json
from typing import Any

from hoopwright.case.common_units import COMMON_UNITS, convert_common
from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.quantity import KINDS
from hoopwright.case.reader_units import System, example_for

SYSTEMS: tuple[System, ...] = ("metric", "inch")
NOUNS = {
    "number": "a plain number",
    "integer": "a whole number",
    "flag": "true or false",
    "text": "a text",
    "lengths": "lengths, and one unit after the last",
    "angles": "angles, and one unit after the last",
    "limits": "a list of two lengths",
}

TONS = {"force_ton": "short ton", "force_long_ton": "long ton", "force_metric_ton": "metric ton"}


def listing(case: TableKeys) -> list[dict[str, Any]]:
    """Every table that has keys of its own, the top of the file first."""
    return [_table(path, keys) for path, keys in case.walk() if keys.keys]


def heading(path: str, keys: TableKeys) -> str:
    """The line above a table, "" for the top of the file."""
    return (f"[[{path}]]" if keys.rows else f"[{path}]") if path else ""


def _table(path: str, keys: TableKeys) -> dict[str, Any]:
    return {
        "table": path,
        "heading": heading(path, keys),
        "meaning": keys.meaning,
        "required": keys.required,
        "exactly_one_of": [list(names) for names in keys.one_of],
        "at_least_one_of": [list(names) for names in keys.any_of],
        "needs": list(keys.needs),
        "keys": [_key(key) for key in keys.keys],
    }


def _key(key: Key) -> dict[str, Any]:
    return {
        "key": key.name,
        "meaning": key.meaning,
        "kind": kind_text(key),
        "units": units(key.kind),
        "choices": [name for name in key.options if name],
        "required": key.required,
        "default": None if key.required or key.default == "" else key.default,
        "limits": {system: limits_text(key, system) for system in SYSTEMS},
        "example": {system: example_text(key, system) for system in SYSTEMS},
        "needs": list(key.needs),
    }


def units(kind: str) -> list[str]:
    """Units that nearly every case uses for a kind of quantity, as they are written."""
    own = ["tpi"] if kind == "pitch" else []
    return [TONS.get(name, name) for name in COMMON_UNITS.get(kind, ())] + own


def kind_text(key: Key) -> str:
    """What kind of value it is, with its article."""
    if key.kind == "choice":
        names = [f'"{name}"' for name in key.options if name]
        return " or ".join(names) if names else f"a name: {key.see}"
    return NOUNS.get(key.kind) or KINDS[key.kind].noun


def limits_text(key: Key, system: System) -> str:
    """Its limits in words, "" where it has none."""
    above, low, high = (_shown(key, limit, system) for limit in (key.above, key.minimum, key.maximum))
    if above:
        return f"above {above}" + (f", at most {high}" if high else "")
    return (f"from {low}" + (f" to {high}" if high else "")) if low else f"at most {high}" if high else ""


def default_text(key: Key, system: System) -> str:
    """The value that stands for it where it is left out, "" where none does."""
    if key.required or key.default in (None, ""):
        return ""
    return _shown(key, key.default, system) if isinstance(key.default, str) else json.dumps(key.default)


def example_text(key: Key, system: System) -> str:
    """An example of its value as TOML."""
    if key.kind == "flag":
        return "true"
    if key.kind == "limits":
        return json.dumps([_converted(one, system) for one in key.example])
    if key.kind == "lengths":
        return json.dumps(_converted(key.example, system))
    if key.kind in ("number", "integer"):
        return f"{key.example}"
    example = key.example or next(iter(key.options), "")
    if key.kind in KINDS:
        example = example_for(example or KINDS[key.kind].example, system)
    return json.dumps(example, ensure_ascii=False)


def _shown(key: Key, text: str, system: System) -> str:
    return example_for(text, system) if text and key.kind in KINDS else text


def _converted(lengths: str, system: System) -> str:
    """Lengths in mm as read with an instrument of either trade."""
    *numbers, unit = lengths.split()
    if system == "metric":
        return lengths
    inches = [convert_common(float(number), unit, "in") or 0.0 for number in numbers]
    return " ".join(f"{value:.4f}" for value in inches) + " in"
