"""[temperatures]: of the joint after assembly, the same for both parts. The table is optional.

use_least = "-10 degC"          lowest and highest in use
use_most = "45 degC"
oven = "190 degC"               optional: a paint oven after assembly, part temperature,
oven_time = "20 min"            and its duration
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.holding_model import Temperatures
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    limits = {"minimum": "-150 degC", "maximum": "500 degC"}
    minimum = table.temperature("use_least", example="-10 degC", **limits)
    maximum = table.temperature("use_most", example="45 degC", **limits)
    if minimum is not None and maximum is not None and minimum > maximum:
        table.fault("use_least", "above use_most", "swap the two")
    oven = table.temperature(
        "oven", example="190 degC", default=None, minimum="20 degC", maximum="500 degC"
    )
    oven_time = table.time("oven_time", example="20 min", default=None, above="0 s")
    temperatures = table.build(
        Temperatures, use_min=minimum, use_max=maximum, oven=oven, oven_time=oven_time
    )
    return {"temperatures": temperatures}
