"""limits = { ... } of a user-defined thread: limits of size of the sleeve's and the cup's thread; and the
pitch diameter measured of one.

When left out, the limits are those of tolerance quality medium, ISO 965-1.
"""

from __future__ import annotations

from dataclasses import replace

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.quantity import QuantityError, parse
from hoopwright.case.reader_units import lengths_in
from hoopwright.case.table import Table
from hoopwright.geometry.thread import Thread, ThreadLimits
from hoopwright.geometry.thread_limits import limits_of

LEAST_OVERLAP = 0.8
"""Pitch diameter beyond the least major diameter of a cup, over the pitch, from which next to nothing of
their turns overlaps: at √3/2 nothing does."""


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


def with_cut_pitch_diameter(row: Table, thread: Thread | None) -> Thread | None:
    """The thread with its measured pitch diameter, which must lie between minor and major."""
    measured = row.get("cut_pitch_diameter")
    if thread is None or measured is None:
        return thread
    if not thread.minor < measured < thread.major:
        row.fault(
            "cut_pitch_diameter",
            lengths_in(
                f"not between the thread's minor diameter, {thread.minor:.3f} mm, "
                f"and its major diameter, {thread.major:.3f} mm",
                row.system,
            ),
            "measure it over wires",
        )
        return None
    if measured >= limits_of(thread).external_major_min + LEAST_OVERLAP * thread.pitch:
        row.fault(
            "cut_pitch_diameter",
            "so large that the turns of the least cup pass between those of the sleeve",
            "measure it over wires",
        )
        return None
    return replace(thread, cut_pitch_diameter=measured)
