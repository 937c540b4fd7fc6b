"""[gauge.NAME]: a measuring instrument, to be named by the readings taken with it."""

from __future__ import annotations

from hoopwright.case.keys import NAME, Key, TableKeys, optional
from hoopwright.case.table import Table
from hoopwright.geometry.readings import Gauge

MAX_GAUGES = 20
LANDS = ("shell.bore", "shell.outside", "sleeve.outside")


def _read_with(of_land: str, of_shop: str) -> str:
    """Condition that a key of some land's readings is given, or one of the shop."""
    places = [place for land in LANDS for place in (f"[[{land}]]", f"[[{land}.readings]]")]
    return " or ".join([*(f"{place} {of_land}" for place in places), f"[size] {of_shop}"])


READ_WARM = _read_with("part_temperature", "shop_temperature")
READ_UNSURE = _read_with("temperature_plus_minus", "shop_plus_minus")


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
        optional(
            "temperature",
            "temperature",
            "of the gauge and of its setting standard; left out it is as warm as what it reads",
            "20 degC",
            "-40 degC to 100 degC",
        ),
        optional(
            "temperature_plus_minus",
            "temperature_difference",
            "uncertainty of that temperature; left out: none where that is given, else a tenth of what "
            "the part is away from 20 °C (68 °F), and no less than its own uncertainty",
            "1 K",
            "0 K to 50 K",
        ),
        Key(
            "expansion",
            "expansion",
            "of the gauge and its standard; steel when left out",
            "11.5e-6 /K",
            "from 0 /K",
            default="11.5e-6 /K",
            needs=(f"temperature or {READ_WARM}",),
        ),
        Key(
            "comparator",
            "flag",
            "it is set in a ring or to blocks that lie beside the part and share its temperature: an error "
            "of that counts with the difference of both expansions alone",
            default=False,
            needs=(READ_UNSURE,),
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


def choose_gauge(table: Table) -> Gauge | None:
    """The gauge that a table names, or None after noting that it is missing or unknown."""
    if not table.gauges:
        table.fault("gauge", "no gauge in the file", "describe it under [gauge.NAME]; see the README")
        table.has("gauge")
        return None
    gauge: Gauge | None = table.get("gauge", required=True, options=table.gauges)
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
        **row.fields("temperature_plus_minus", "expansion", "type", "comparator"),
    )
