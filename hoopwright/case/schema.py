"""JSON Schema of a case file, by which an editor completes and checks it.

It knows names, choices, kinds and what must be given; whether a quantity is in a sound unit and within its
limits, and whether the parts go together, only the reader says.
"""

from __future__ import annotations

import json
from typing import Any

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
    return {"$schema": "http://json-schema.org/draft-07/schema#", "title": TITLE, **_table(case)}


def schema_text(case: TableKeys) -> str:
    return json.dumps(schema(case), indent=1, ensure_ascii=False) + "\n"


def _table(keys: TableKeys) -> dict[str, Any]:
    properties = {key.name: _key(key) for key in keys.keys}
    others: dict[str, Any] | bool = False
    for table in keys.tables:
        own = _table(table)
        if table.rows:
            own = {"type": "array", "items": own, "minItems": 1, "maxItems": MAX_ROWS}
        if table.name == NAME:
            others = own
        else:
            text = properties.get(table.name)
            properties[table.name] = own if text is None else {"anyOf": [text, own]}
    needed = [key.name for key in keys.keys if key.required] + [t.name for t in keys.tables if t.required]
    sets = [{"oneOf": _given(names)} for names in keys.one_of] + [
        {"anyOf": _given(names)} for names in keys.any_of
    ]
    return {
        "type": "object",
        "description": keys.meaning,
        "properties": properties,
        "additionalProperties": others,
        **({"required": needed} if needed else {}),
        **({"allOf": sets} if sets else {}),
    }


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
