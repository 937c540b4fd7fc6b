"""Tables and keys of a case file as text for an 80-column terminal."""

from __future__ import annotations

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.listing import default_text, example_text, heading, kind_text, limits_text, units
from hoopwright.case.quantity import KINDS
from hoopwright.case.reader_units import System
from hoopwright.display import Units
from hoopwright.screen.wrapping import paragraph


def report(tables: list[tuple[str, TableKeys]], system: System) -> str:
    """Some tables of a case, each with its dotted path, and the units of what is in them."""
    lines = [line for path, keys in tables if keys.keys for line in _table(path, keys, system)]
    kinds = dict.fromkeys(key.kind for _, keys in tables for key in keys.keys if key.kind in KINDS)
    if kinds:
        lines.append("A quantity stands in quotes, with its unit, among them")
        for kind in kinds:
            lines += paragraph(f"{KINDS[kind].noun}: {', '.join(units(kind))}", "  ")
    return "\n".join(lines) + "\n"


def _table(path: str, keys: TableKeys, system: System) -> list[str]:
    facts = [
        Units(system).first(keys.meaning),
        "" if not path else "required" if keys.required else "optional",
        *(f"exactly one of {', '.join(names)}" for names in keys.one_of),
        *(f"at least one of {', '.join(names)}" for names in keys.any_of),
        *(f"needs {condition}" for condition in keys.needs),
    ]
    lines = [heading(path, keys) or "At the top of the file"]
    lines += paragraph("; ".join(fact for fact in facts if fact), "  ")
    for key in keys.keys:
        lines.append(f"  {key.name} = {example_text(key, system)}")
        lines += paragraph(_facts(key, system), "      ")
    return [*lines, ""]


def _facts(key: Key, system: System) -> str:
    default = default_text(key, system)
    value = " ".join(part for part in (kind_text(key), limits_text(key, system)) if part)
    state = "required" if key.required else f"{default} when left out" if default else "optional"
    needs = [f"needs {condition}" for condition in key.needs]
    return "; ".join((Units(system).first(key.meaning), value, state, *needs))
