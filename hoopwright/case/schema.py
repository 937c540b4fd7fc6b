"""JSON Schema of a case file, by which an editor completes and checks it.

It knows names, choices, kinds and what must be given; whether a quantity is in a sound unit and within its
limits, and whether the parts go together, only the reader says.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache
from typing import Any

from hoopwright import presets
from hoopwright.case.keys import NAME, Key, TableKeys
from hoopwright.case.listing import SYSTEMS, default_text, example_text, kind_text, limits_text
from hoopwright.case.quantity import KINDS, MAX_LENGTH
from hoopwright.case.table import MAX_ROWS

FILE = "hoopwright.schema.json"
"""Name of the schema beside a case."""
LINE = f"#:schema {FILE}"
"""First line of a case, by which an editor finds it."""
TITLE = "A case file of hoopwright"
_DECIMAL = r"[-+−]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?"
_FRACTION = r"([0-9]+[ -]+)?[0-9]+/[0-9]+"
_UNIT = r"(1\s*)?[A-Za-zµμ°/(].*"
QUANTITY = rf"^\s*({_FRACTION}|{_DECIMAL})\s*{_UNIT}$"
NUMBERS = rf"^\s*({_DECIMAL}\s+)+{_UNIT}$"


def schema(case: TableKeys) -> dict[str, Any]:
    """The schema of a whole file."""
    without_presets = {"if": {"not": {"required": ["preset"]}}, "then": _filled_by_presets(case, ())}
    return {
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": TITLE,
        **_table(case, ()),
        **without_presets,
    }


def schema_text(case: TableKeys) -> str:
    return json.dumps(schema(case), indent=1, ensure_ascii=False) + "\n"


@cache
def _fillable() -> frozenset[tuple[str, ...]]:
    """Keys, and tables that hold them, that a preset may fill in: a case that names one need not have
    them."""
    values = [value for kind in presets.table().values() for one in kind.values() for value in one.values]
    keys = {(*_path(value.table), value.key) for value in values}
    return frozenset(path[:n] for path in keys for n in range(1, len(path) + 1))


def _path(table: tuple[str, ...]) -> tuple[str, ...]:
    return (*table, NAME) if table == ("gauge",) else table


def _table(keys: TableKeys, path: tuple[str, ...]) -> dict[str, Any]:
    properties = {key.name: _key(key) for key in keys.keys if key.name != NAME}
    others: dict[str, Any] | bool = next((_key(key) for key in keys.keys if key.name == NAME), False)
    for table in keys.tables:
        own = _table(table, (*path, table.name))
        if table.rows:
            own = {"type": "array", "items": own, "minItems": 1, "maxItems": MAX_ROWS}
        if table.name == NAME:
            others = own
        else:
            text = properties.get(table.name)
            properties[table.name] = own if text is None else {"anyOf": [text, own]}
    needed, sets = _must_give(keys, path, fillable=False)
    return {
        "type": "object",
        "description": keys.meaning,
        "properties": properties,
        "additionalProperties": others,
        **_constraints(needed, sets),
    }


def _must_give(
    keys: TableKeys, path: tuple[str, ...], *, fillable: bool
) -> tuple[list[str], list[dict[str, Any]]]:
    """What must be given in a table, names and sets of alternatives: what a preset may fill in, or the
    rest."""

    def wanted(names: Iterable[str]) -> bool:
        return any((*path, name) in _fillable() for name in names) == fillable

    required = [key.name for key in keys.keys if key.required] + [t.name for t in keys.tables if t.required]
    sets = [
        {word: _given(names)}
        for word, every in (("oneOf", keys.one_of), ("anyOf", keys.any_of))
        for names in every
        if wanted(names)
    ]
    return [name for name in required if wanted((name,))], sets


def _filled_by_presets(keys: TableKeys, path: tuple[str, ...]) -> dict[str, Any]:
    """What must be given in a table, and those inside it, where no preset fills it in."""
    properties: dict[str, Any] = {}
    found: dict[str, Any] = _constraints(*_must_give(keys, path, fillable=True))
    for table in keys.tables:
        inner = _filled_by_presets(table, (*path, table.name))
        if inner and table.name == NAME:
            found["additionalProperties"] = inner
        elif inner:
            properties[table.name] = {"items": inner} if table.rows else inner
    return found | ({"properties": properties} if properties else {})


def _constraints(needed: list[str], sets: list[dict[str, Any]]) -> dict[str, Any]:
    return ({"required": needed} if needed else {}) | ({"allOf": sets} if sets else {})


def _given(alternatives: tuple[str, ...]) -> list[dict[str, Any]]:
    return [{"required": names.split(" and ")} for names in alternatives]


def _key(key: Key) -> dict[str, Any]:
    default = {} if key.required or key.default in (None, "") else {"default": key.default}
    examples = dict.fromkeys(example_text(key, system) for system in SYSTEMS)
    return {
        **_kind(key),
        "description": _description(key),
        **default,
        "examples": [json.loads(example) for example in examples],
    }


def _description(key: Key) -> str:
    default = default_text(key, "metric")
    parts = (
        key.meaning,
        kind_text(key),
        limits_text(key, "metric"),
        "required" if key.required else "",
        f"{default} when left out" if default else "",
        *(f"needs {condition}" for condition in key.needs),
    )
    return "; ".join(part for part in parts if part)


def _kind(key: Key) -> dict[str, Any]:
    quantity = {"type": "string", "pattern": QUANTITY, "maxLength": MAX_LENGTH}
    if key.kind in KINDS:
        return quantity
    match key.kind:
        case "limits":
            return {"type": "array", "items": quantity, "minItems": 2, "maxItems": 2}
        case "lengths" | "angles":
            return {"type": "string", "pattern": NUMBERS, "maxLength": key.max_length}
        case "flag":
            return {"type": "boolean"}
        case "number" | "integer":
            limits = {"exclusiveMinimum": key.above, "minimum": key.minimum, "maximum": key.maximum}
            return {"type": key.kind, **{name: json.loads(text) for name, text in limits.items() if text}}
        case "choice" if key.options:
            return {"enum": list(key.options)}
    least = {"minLength": 1} if key.required else {}
    return {"type": "string", "maxLength": key.max_length, **least}
