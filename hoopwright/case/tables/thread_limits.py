"""limits = { ... } of a user-defined thread: limits of size of the sleeve's and the cup's thread.

    pitch = ["34.11 mm", "34.28 mm"]        pitch diameter of the sleeve's thread, least and greatest
    minor = ["33.65 mm", "33.89 mm"]        its minor diameter
    cup_pitch = ["33.95 mm", "34.08 mm"]    pitch diameter of the cup's thread
    cup_major = ["34.59 mm", "34.77 mm"]    its major diameter

When left out, the limits are those of tolerance quality medium, ISO 965-1.
"""

from __future__ import annotations

from hoopwright.case.quantity import QuantityError, parse
from hoopwright.case.table import Table
from hoopwright.geometry.thread import ThreadLimits

_KEYS = {
    "pitch": ("internal_pitch", "34.11 mm", "34.28 mm"),
    "minor": ("internal_minor", "33.65 mm", "33.89 mm"),
    "cup_pitch": ("external_pitch", "33.95 mm", "34.08 mm"),
    "cup_major": ("external_major", "34.59 mm", "34.77 mm"),
}


def read_limits(thread: Table) -> ThreadLimits | None:
    """Limits of size in a thread's table, or None where it gives none or a faulty set."""
    table = thread.subtable("limits")
    if table is None:
        return None
    values: dict[str, float] = {}
    for key, (field, minimum, maximum) in _KEYS.items():
        pair = _pair(table, key, f'write e.g. {key} = ["{minimum}", "{maximum}"]')
        if pair:
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
