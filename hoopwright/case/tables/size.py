"""[size]: how the part still to be cut will be read. The table is optional.

gauge = "micrometer"            a [gauge.NAME]; without it the part's plus_minus stands for it
readings = 3                    optional: how many are averaged
shop_temperature = "24 degC"    optional: of the part at the machine
shop_plus_minus = "1 K"         optional: how well that is known
confidence = 0.95               optional: that the finished fit lies in the window
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
        readings=table.integer("readings", least=1, most=1000, default=1),
        shop_rise_K=table.temperature(
            "shop_temperature", default="20 degC", least="-40 degC", most="100 degC"
        ),
        shop_plus_minus_K=table.quantity(
            "temperature_difference",
            "shop_plus_minus",
            example="1 K",
            default="0 K",
            least="0 K",
            most="50 K",
        ),
        confidence=table.number("confidence", example=0.95, default=0.95, least="0.5", most="0.9999"),
    )
    return {"size": size}
