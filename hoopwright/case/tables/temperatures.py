"""[temperatures]: what the joint sees after assembly, both parts alike. The table is optional.

use_least = "-10 degC"          coldest and hottest in use
use_most = "45 degC"
oven = "190 degC"               optional: a paint oven after assembly, part temperature,
oven_time = "20 min"            and how long
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.holding_model import Temperatures
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    limits = {"least": "-150 degC", "most": "500 degC"}
    least = table.temperature("use_least", example="-10 degC", **limits)
    most = table.temperature("use_most", example="45 degC", **limits)
    if least is not None and most is not None and least > most:
        table.fault("use_least", "above use_most", "swap the two")
    oven = table.temperature("oven", example="190 degC", default=None, least="20 degC", most="500 degC")
    oven_time = table.time("oven_time", example="20 min", default=None, above="0 s")
    temperatures = table.build(
        Temperatures, use_least=least, use_most=most, oven=oven, oven_time=oven_time)
    return {"temperatures": temperatures}
