"""[gauge.NAME]: a measuring instrument, to be named by the readings taken with it."""

from __future__ import annotations

from hoopwright.case.keys import NAME, Key, TableKeys, optional
from hoopwright.case.table import Table
from hoopwright.geometry.readings import Gauge

MAX_GAUGES = 20


def _error(name: str, meaning: str, example: str, default: str | None = None) -> Key:
    return Key(name, "length", meaning, example, "0 mm to 1 mm", default=default)


_ONE_GAUGE = TableKeys(
    NAME,
    "a measuring instrument, to be named by the readings taken with it",
    keys=(
        _error("max_error", "maximum permissible error: a limit", "3 um"),
        _error("accuracy", "stated accuracy as an expanded uncertainty", "3 um"),
        Key("coverage", "number", "coverage factor of that accuracy", 2.0, "1 to 4", default=2.0),
        Key("resolution", "length", "smallest step it displays", "1 um", "above 0 mm to 1 mm"),
        _error("zero_error", "greatest error of its zero setting", "1 um", default="0 mm"),
        optional(
            "repeatability",
            "length",
            "standard deviation of one reading; left out, that of the readings or one assumed",
            "0.5 um",
            "above 0 mm to 1 mm",
        ),
        Key("contacts", "integer", "contact points", 2, "2 to 3", default=2),
        Key(
            "temperature",
            "temperature",
            "of the gauge and of its setting standard",
            default="20 degC",
            limits="-40 degC to 100 degC",
        ),
        Key(
            "expansion",
            "expansion",
            "of the gauge and its standard; steel when left out",
            "11.5e-6 /K",
            "from 0 /K",
            default="11.5e-6 /K",
            needs=("temperature",),
        ),
        Key("type", "text", "what it is", "outside micrometer", default=""),
    ),
    one_of=(("max_error", "accuracy"),),
)
KEYS = TableKeys("gauge", "measuring instruments, each by a name of its own", tables=(_ONE_GAUGE,))


def gauge_key(meaning: str) -> Key:
    """The key that names a gauge."""
    return optional(
        "gauge", "choice", meaning, "bore gauge", what="gauge", see="describe it under [gauge.NAME]"
    )


def read(table: Table) -> dict[str, Gauge | None]:
    """Gauges by name. A faulty one maps to None, so that its name is still known."""
    gauges: dict[str, Gauge | None] = {}
    for number, name in enumerate(table.values):
        if number >= MAX_GAUGES:
            table.fault(name, f"more than {MAX_GAUGES} gauges", "drop the ones not used")
            table.has(name)
            continue
        row = table.subtable(name)
        gauges[name] = None if row is None else _gauge(name, row)
    return gauges


def choose_gauge(table: Table, key: str = "gauge") -> Gauge | None:
    """The gauge named under `key`, or None after noting that it is missing or unknown."""
    if not table.gauges:
        table.fault(key, "no gauge in the file", "describe it under [gauge.NAME]; see the README")
        table.has(key)
        return None
    gauge: Gauge | None = table.get(key, required=True, options=table.gauges)
    return gauge


def _gauge(name: str, row: Table) -> Gauge | None:
    if row.has("max_error") == row.has("accuracy"):
        advice = f'write e.g. max_error = "{row.example("3 um")}"'
        row.fault("max_error", "give one of max_error and accuracy", advice)
    limit = row.has("max_error")
    accuracy = row.get("max_error" if limit else "accuracy")
    coverage = row.get("coverage")
    if limit and "coverage" in row.values:
        row.fault("coverage", "goes with accuracy", "drop it, max_error is a limit")
    return row.build(
        Gauge,
        name=name,
        accuracy=accuracy,
        coverage=None if limit else coverage,
        **row.fields("resolution", "zero_error", "repeatability", "contacts"),
        temperature_rise=row.get("temperature"),
        **row.fields("expansion", "type"),
    )
