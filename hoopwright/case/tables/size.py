"""[size]: how the part still to be cut will be measured. The table is optional.

gauge = "micrometer"            a [gauge.NAME]; without it the part's plus_minus is used
readings = 3                    optional: number of readings averaged
shop_temperature = "24 degC"    optional: of the part at the machine
shop_plus_minus = "1 K"         optional: uncertainty of that temperature
confidence = 0.95               optional: probability that the finished fit lies in the window
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.sizing_model import SizeInput
from hoopwright.case.table import Table
from hoopwright.case.tables.gauge import choose_gauge


def read(table: Table) -> dict[str, Any]:
    size = table.build(
        SizeInput,
        gauge=choose_gauge(table) if table.has("gauge") else None,
        readings=table.integer("readings", minimum=1, maximum=1000, default=1),
        shop_rise_K=table.temperature(
            "shop_temperature", default="20 degC", minimum="-40 degC", maximum="100 degC"
        ),
        shop_plus_minus_K=table.quantity(
            "temperature_difference",
            "shop_plus_minus",
            example="1 K",
            default="0 K",
            minimum="0 K",
            maximum="50 K",
        ),
        confidence=table.number("confidence", example=0.95, default=0.95, minimum="0.5", maximum="0.9999"),
    )
    return {"size": size}
