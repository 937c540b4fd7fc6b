"""limits = { ... } of a user-defined thread: limits of size of the sleeve's and the cup's thread.

When left out, the limits are those of tolerance quality medium, ISO 965-1.
"""

from __future__ import annotations

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.quantity import QuantityError, parse
from hoopwright.case.table import Table
from hoopwright.geometry.thread import ThreadLimits


def _limits(name: str, meaning: str, *example: str) -> Key:
    return Key(name, "limits", f"{meaning}, least and greatest", example)


KEYS = TableKeys(
    "limits",
    "limits of size; those of ISO 965-1, quality medium, when left out",
    keys=(
        _limits("pitch", "pitch diameter of the sleeve's thread", "34.11 mm", "34.28 mm"),
        _limits("minor", "minor diameter of the sleeve's thread", "33.65 mm", "33.89 mm"),
        _limits("cup_pitch", "pitch diameter of the cup's thread", "33.95 mm", "34.08 mm"),
        _limits("cup_major", "major diameter of the cup's thread", "34.59 mm", "34.77 mm"),
    ),
)
FIELDS = {
    "pitch": "internal_pitch",
    "minor": "internal_minor",
    "cup_pitch": "external_pitch",
    "cup_major": "external_major",
}


def read_limits(thread: Table) -> ThreadLimits | None:
    """Limits of size in a thread's table, or None where it gives none or a faulty set."""
    table = thread.subtable("limits")
    if table is None:
        return None
    values: dict[str, float] = {}
    for key in KEYS.keys:
        minimum, maximum = key.example
        pair = _pair(table, key.name, f'write e.g. {key.name} = ["{minimum}", "{maximum}"]')
        if pair:
            field = FIELDS[key.name]
            values[f"{field}_min"], values[f"{field}_max"] = pair
    return table.build(ThreadLimits, **values, source="limits of size as stated in the case file")


def _pair(table: Table, key: str, advice: str) -> tuple[float, float] | None:
    if not table.has(key):
        table.fault(key, "missing", advice)
        return None
    raw = table.values[key]
    if not isinstance(raw, list) or len(raw) != 2:
        table.fault(key, "not a list of the least and the greatest limit", advice)
        return None
    try:
        minimum, maximum = (parse(text, "length") for text in raw)
    except QuantityError as error:
        table.fault(key, error.problem, advice)
        return None
    return minimum, maximum
