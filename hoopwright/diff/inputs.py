"""Inputs that differ between two case files, as a reader finds them there: table and key."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.case.faults import as_toml, shortened
from hoopwright.case.quantity import KINDS, QuantityError, parse
from hoopwright.display import Units

SHOWN = {
    "length": ("mm", 1.0),
    "force": ("N", 1.0),
    "torque": ("N*m", 1e-3),
    "stress": ("MPa", 1.0),
}
"""Unit in which a reader is shown a kind of quantity, and that unit by the internal one. Temperatures stay
as written: the text alone does not tell one from a difference."""
OF_SYSTEM = {
    "metric": ("mm", "um", "µm", "cm", "m", "N", "kN", "Nm", "N*m", "N·m", "MPa", "GPa", "bar"),
    "inch": ("in", "inch", "thou", "tenth", "tenths", "lbf", "ft*lbf", "in*lbf", "psi", "ksi"),
}
"""Units that a reader of a system reads as they are."""
ALIKE = 1e-9
LONGEST = 120
NOT_GIVEN = "not given"


@dataclass(frozen=True)
class ChangedInput:
    """table: e.g. "[shell]", "" at the top of the file. old, new: as in the files, None where not given."""

    table: str
    key: str
    old: Any
    new: Any


def changed_inputs(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[ChangedInput]:
    """What differs, in the order of the old file, then what only the new one has."""
    before, after = dict(_flat(old)), dict(_flat(new))
    places = {**before, **after}
    return [
        ChangedInput(*place, before.get(place), after.get(place))
        for place in places
        if not _alike(before.get(place), after.get(place))
    ]


def _flat(values: Mapping[str, Any], name: str = "") -> Iterator[tuple[tuple[str, str], Any]]:
    """Every value under its table and key."""
    for key, value in values.items():
        inner = f"{name}.{key}" if name else key
        if isinstance(value, dict):
            yield from _flat(value, inner)
        elif isinstance(value, list) and value and all(isinstance(row, dict) for row in value):
            for label, row in _labelled(value):
                yield from _flat(row, f"{inner} {label}")
        else:
            yield (f"[{name}]" if name else "", key), value


def _labelled(rows: list[dict[str, Any]]) -> list[tuple[str, dict[str, Any]]]:
    """Rows by name where all have their own, so that their order does not matter, else by number."""
    names = [row.get("name") for row in rows]
    if all(isinstance(name, str) for name in names) and len(set(names)) == len(names):
        return [(as_toml(name), row) for name, row in zip(names, rows, strict=True)]
    return [(str(k), row) for k, row in enumerate(rows, start=1)]


def _alike(old: Any, new: Any) -> bool:
    """Whether two values are the same, however a quantity is written: "1 in" is "25.4 mm". A text that may
    be of several kinds must be the same in all of them."""
    if type(old) is not type(new):
        return False
    if old == new or not isinstance(old, str):
        return bool(old == new)
    read = [(_quantity(old, kind), _quantity(new, kind)) for kind in KINDS]
    known = [pair for pair in read if not all(map(math.isnan, pair))]
    return bool(known) and all(math.isclose(*pair, rel_tol=ALIKE, abs_tol=1e-18) for pair in known)


def _quantity(text: str, kind: str) -> float:
    """In the internal unit of the kind; not a number where the text is none of that kind."""
    try:
        return parse(text, kind)
    except QuantityError:
        return math.nan


def shown_pair(changed: ChangedInput, units: Units) -> tuple[str, str]:
    """Old and new in the units of the reader; as written where they would read alike there."""
    old, new = (_shown(value, units) for value in (changed.old, changed.new))
    if old != new:
        return old, new
    return _written(changed.old), _written(changed.new)


def _shown(value: Any, units: Units) -> str:
    if not isinstance(value, str) or value.partition(" ")[2].strip() in OF_SYSTEM[units.system]:
        return _written(value)
    for kind, (unit, scale) in SHOWN.items():
        found = scale * _quantity(value, kind)
        if math.isfinite(found):
            return units.measured_diameter(found) if unit == "mm" else units.text(found, unit)
    return _written(value)


def _written(value: Any) -> str:
    """A value as it stands in the file."""
    if value is None:
        return NOT_GIVEN
    if isinstance(value, str):
        return shortened(value, LONGEST)
    if isinstance(value, list):
        return shortened(", ".join(map(_written, value)), LONGEST)
    return as_toml(value)
