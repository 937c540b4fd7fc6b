"""[size]: how the part still to be cut will be measured."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.sizing_model import SizeInput
from hoopwright.case.table import Table
from hoopwright.case.tables.gauge import choose_gauge, gauge_key

KEYS = TableKeys(
    "size",
    "how the part still to be cut will be measured",
    keys=(
        gauge_key("a [gauge.NAME]; without it the part's plus_minus is used"),
        Key(
            "readings",
            "integer",
            "number of readings averaged",
            3,
            "1 to 1000",
            default=1,
            needs=("gauge",),
        ),
        Key(
            "shop_temperature",
            "temperature",
            "of the part at the machine",
            default="20 degC",
            limits="-40 degC to 100 degC",
        ),
        Key(
            "shop_plus_minus",
            "temperature_difference",
            "uncertainty of that temperature",
            "1 K",
            "0 K to 50 K",
            default="0 K",
            needs=("gauge",),
        ),
        Key(
            "confidence",
            "number",
            "probability that the finished fit lies in the window",
            0.95,
            "0.5 to 0.9999",
            default=0.95,
        ),
        Key(
            "turning_scatter",
            "length",
            "standard deviation of what is cut about its aim; the default is common practice, no source",
            "3 um",
            "0 mm to 1 mm",
            default="4 um",
        ),
    ),
)


def read(table: Table) -> dict[str, Any]:
    size = table.build(
        SizeInput,
        gauge=choose_gauge(table) if table.has("gauge") else None,
        readings=table.get("readings"),
        shop_rise_K=table.get("shop_temperature"),
        shop_plus_minus_K=table.get("shop_plus_minus"),
        confidence=table.get("confidence"),
        turning_scatter_mm=table.get("turning_scatter"),
        turning_scatter_given="turning_scatter" in table.values,
    )
    return {"size": size}
