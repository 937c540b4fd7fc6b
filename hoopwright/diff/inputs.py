"""Inputs that differ between two case files, as a reader finds them there: table and key."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.case.faults import as_toml, shortened
from hoopwright.case.keys import TableKeys
from hoopwright.case.quantity import KINDS, QuantityError, parse
from hoopwright.case.read import CASE
from hoopwright.display import Units

OF_SYSTEM = {
    "metric": {"mm", "um", "µm", "cm", "m", "N", "kN", "Nm", "N*m", "N·m", "MPa", "GPa", "bar"}
    | {"degC", "°C", "K"},
    "inch": {"in", "inch", "thou", "tenth", "tenths", "lbf", "ft*lbf", "in*lbf", "psi", "ksi"}
    | {"degF", "°F"},
}
"""Units that a reader of a system reads as they are."""
SERIES = {"lengths": "length", "angles": "angle", "limits": "length"}
"""Kinds of several quantities, and that of each."""
SHOWN: Mapping[str, Callable[[Units, float], str]] = {
    "length": Units.measured_diameter,
    "force": lambda units, value: units.text(value, "N"),
    "torque": lambda units, value: units.text(1e-3 * value, "N*m"),
    "stress": lambda units, value: units.text(value, "MPa"),
    "temperature": lambda units, value: units.text(20.0 + value, "degC"),
    "temperature_difference": lambda units, value: _difference(units, value),
    "expansion": Units.expansion,
    "density": Units.density,
}
"""How a reader is shown a kind of quantity, from its internal unit. Angles, times and pitches are written
alike in both trades, or name a thread: they stay as written."""
FAHRENHEIT_PER_K = 1.8
ALIKE = 1e-9
LONGEST = 120
NOT_GIVEN = "not given"
_SERIES = re.compile(r"(?P<numbers>[-+.\deE ]+?) (?P<unit>[^\d\s+.-]\S*)")


@dataclass(frozen=True)
class ChangedInput:
    """table: e.g. "[shell]", "" at the top of the file. old, new: as in the files, None where not given.
    kind: as declared, see keys.Key; "" for a key that is not."""

    table: str
    key: str
    old: Any
    new: Any
    kind: str = ""


def changed_inputs(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[ChangedInput]:
    """What differs, in the order of the old file, then what only the new one has."""
    before, after = (
        {place: (value, kind) for place, value, kind in _flat(one, CASE)} for one in (old, new)
    )
    found = []
    for place in {**before, **after}:
        (was, kind), (now, its) = before.get(place, (None, "")), after.get(place, (None, ""))
        if not _alike(was, now, kind or its):
            found.append(ChangedInput(*place, was, now, kind or its))
    return found


def _flat(
    values: Mapping[str, Any], declared: TableKeys | None, name: str = ""
) -> Iterator[tuple[tuple[str, str], Any, str]]:
    """Every value under its table and key, with its declared kind."""
    for key, value in values.items():
        inner = f"{name}.{key}" if name else key
        if isinstance(value, dict):
            yield from _flat(value, _table_of(declared, key), inner)
        elif isinstance(value, list) and value and all(isinstance(row, dict) for row in value):
            for label, row in _labelled(value):
                yield from _flat(row, _table_of(declared, key), f"{inner} {label}")
        else:
            yield (f"[{name}]" if name else "", key), value, _kind_of(declared, key)


def _table_of(declared: TableKeys | None, name: str) -> TableKeys | None:
    try:
        return None if declared is None else declared.table(name)
    except KeyError:
        return None


def _kind_of(declared: TableKeys | None, name: str) -> str:
    try:
        return "" if declared is None else declared.key(name).kind
    except KeyError:
        return ""


def _labelled(rows: list[dict[str, Any]]) -> list[tuple[str, dict[str, Any]]]:
    """Rows by name where all have their own, so that their order does not matter, else by number."""
    names = [row.get("name") for row in rows]
    if all(isinstance(name, str) for name in names) and len(set(names)) == len(names):
        return [(as_toml(name), row) for name, row in zip(names, rows, strict=True)]
    return [(str(k), row) for k, row in enumerate(rows, start=1)]


def _alike(old: Any, new: Any, kind: str) -> bool:
    """Whether two values are the same, however a quantity is written: "1 in" is "25.4 mm". Where its kind
    is not known, a text that may be of several must be the same in all of them."""
    if type(old) is not type(new):
        return False
    if old == new:
        return True
    if kind in KINDS or kind in SERIES:
        return _same(_quantities(old, kind), _quantities(new, kind))
    if kind or not isinstance(old, str):
        return False
    read = [(_quantities(old, one), _quantities(new, one)) for one in KINDS]
    known = [each for each in read if each[0] or each[1]]
    return bool(known) and all(_same(*each) for each in known)


def _same(old: list[float], new: list[float]) -> bool:
    if not old or len(old) != len(new):
        return False
    pairs = zip(old, new, strict=True)
    return all(math.isclose(a, b, rel_tol=ALIKE, abs_tol=1e-18) for a, b in pairs)


def _quantities(value: Any, kind: str) -> list[float]:
    """A value of a kind in its internal unit, one or several; none where it is not of that kind."""
    if isinstance(value, list):
        return [one for text in value for one in _quantities(text, SERIES.get(kind, kind))]
    if not isinstance(value, str) or SERIES.get(kind, kind) not in KINDS:
        return []
    series = _SERIES.fullmatch(value.strip()) if kind in SERIES else None
    texts = [f"{one} {series['unit']}" for one in series["numbers"].split()] if series else [value]
    try:
        return [parse(text, SERIES.get(kind, kind)) for text in texts]
    except QuantityError:
        return []


def shown_pair(changed: ChangedInput, units: Units) -> tuple[str, str]:
    """Old and new in the units of the reader; as written where they would read alike there."""
    old, new = (_shown(value, changed.kind, units) for value in (changed.old, changed.new))
    if old != new:
        return old, new
    return _written(changed.old), _written(changed.new)


def _shown(value: Any, kind: str, units: Units) -> str:
    """A value as the reader of a system reads it: as written where that is in units of the system."""
    if isinstance(value, list):
        return shortened(", ".join(_shown(one, SERIES.get(kind, kind), units) for one in value), LONGEST)
    if not isinstance(value, str) or _unit(value) in OF_SYSTEM[units.system]:
        return _written(value)
    for one in (SERIES.get(kind, kind),) if kind else SHOWN:
        found = _quantities(value, kind or one)
        if found and one in SHOWN and (kind or not one.startswith("temperature")):
            return shortened(", ".join(SHOWN[one](units, each) for each in found), LONGEST)
    return _written(value)


def _unit(text: str) -> str:
    """The unit behind the last number of a text."""
    return text.rstrip().rpartition(" ")[2]


def _difference(units: Units, kelvin: float) -> str:
    return f"{kelvin:g} K" if units.system == "metric" else f"{FAHRENHEIT_PER_K * kelvin:g} °F"


def _written(value: Any) -> str:
    """A value as it stands in the file."""
    if value is None:
        return NOT_GIVEN
    if isinstance(value, str):
        return shortened(value, LONGEST)
    if isinstance(value, list):
        return shortened(", ".join(map(_written, value)), LONGEST)
    return as_toml(value)
