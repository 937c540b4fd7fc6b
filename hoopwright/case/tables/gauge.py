"""[gauge.NAME]: a measuring instrument, to be named by the readings taken with it.

resolution = "1 um"             smallest step it displays
max_error = "3 um"              maximum permissible error: a limit; or
accuracy = "3 um"               stated accuracy as an expanded uncertainty, with
coverage = 2                      its coverage factor (optional, 2)
zero_error = "1 um"             optional: greatest error of its zero setting
repeatability = "0.5 um"        optional: standard deviation of one reading
contacts = 2                    optional: contact points, 2 or 3
temperature = "20 degC"         optional: of the gauge and of its setting standard
expansion = "11.5e-6 /K"        optional: of the two; steel when left out
type = "outside micrometer"     optional
"""

from __future__ import annotations

from functools import partial

from hoopwright.case.table import Table
from hoopwright.geometry.readings import Gauge

MAX_GAUGES = 20


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
    return table.choice(key, table.gauges, what="gauge", see="describe it under [gauge.NAME]")


def _gauge(name: str, row: Table) -> Gauge | None:
    length = partial(row.length, minimum="0 mm", maximum="1 mm")
    if row.has("max_error") == row.has("accuracy"):
        advice = f'write e.g. max_error = "{row.example("3 um")}"'
        row.fault("max_error", "give one of max_error and accuracy", advice)
    limit = row.has("max_error")
    accuracy = length("max_error" if limit else "accuracy", example="3 um", default=None)
    coverage = row.number("coverage", example=2.0, default=2.0, minimum="1", maximum="4")
    if limit and "coverage" in row.values:
        row.fault("coverage", "goes with accuracy", "drop it, max_error is a limit")
    return row.build(
        Gauge,
        name=name,
        accuracy=accuracy,
        coverage=None if limit else coverage,
        resolution=row.length("resolution", example="1 um", above="0 mm", maximum="1 mm"),
        zero_error=length("zero_error", example="1 um", default="0 mm"),
        repeatability=row.length(
            "repeatability", example="0.5 um", default=None, above="0 mm", maximum="1 mm"
        ),
        contacts=row.integer("contacts", minimum=2, maximum=3, default=2),
        temperature_rise=row.temperature(
            "temperature", default="20 degC", minimum="-40 degC", maximum="100 degC"
        ),
        expansion=row.expansion("expansion", example="11.5e-6 /K", default="11.5e-6 /K", minimum="0 /K"),
        type=row.text("type", example="outside micrometer", default=""),
    )
