"""Write a case file, held as nested dicts and lists, as TOML."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

Document = dict[str, Any]


def toml(document: Document) -> str:
    """Return the document as TOML: plain values first, then tables; arrays of tables as [[name]]."""
    return "\n".join(_lines(document, ())) + "\n"


def _lines(table: Document, path: tuple[str, ...]) -> Iterator[str]:
    nested = {k: v for k, v in table.items() if _has_own_heading(v)}
    for key, value in table.items():
        if key not in nested:
            yield f"{_key(key)} = {_value(value)}"
    for key, value in nested.items():
        name = ".".join(map(_key, (*path, key)))
        if isinstance(value, dict):
            yield f"[{name}]"
            yield from _lines(value, (*path, key))
        else:
            for row in value:
                yield f"[[{name}]]"
                yield from _lines(row, (*path, key))


def _has_own_heading(value: Any) -> bool:
    """Whether a value is written under its own [name] or [[name]] heading."""
    return isinstance(value, dict) or (
        isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)
    )


def _key(key: str) -> str:
    return key if key and key.isascii() and key.replace("_", "").isalnum() else json.dumps(key)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    return repr(value)
