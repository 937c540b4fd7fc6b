"""Texts of what presets filled into a case, the same on screen and in the record."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hoopwright.case.reader_units import quantity_for
from hoopwright.display.units import Units

Part = dict[str, Any]
"""The presets of a document, as document/plain.py writes them."""


def grounds_text(basis: str, source: str) -> str:
    """What a value rests on, e.g. "seen: EN 14766:2005"."""
    return f"{basis}: {source}" if source else basis


def value_text(value: str | float, units: Units) -> str:
    """A value of a case in the units shown."""
    return str(quantity_for(value, "inch" if units.system == "inch" else "metric"))


def filled_rows(part: Part, units: Units) -> Iterator[tuple[str, str, str]]:
    """Preset, tables and keys with their values, and what they rest on; values that rest on the same are
    one row."""
    groups: dict[tuple[str, str], dict[str, list[str]]] = {}
    for v in part["filled"]:
        grounds = grounds_text(v["basis"], v["source"])
        grounds = f"{v['metals']}, {grounds}" if v["metals"] else grounds
        group = groups.setdefault((v["preset"], grounds), {})
        group.setdefault(v["table"], []).append(f"{v['key']} {value_text(v['value'], units)}")
    for (preset, grounds), tables in groups.items():
        yield preset, "; ".join(f"{table} {', '.join(keys)}" for table, keys in tables.items()), grounds
