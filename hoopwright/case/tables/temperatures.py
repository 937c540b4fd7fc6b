"""[temperatures]: of the joint after assembly, the same for both parts."""

from __future__ import annotations

from typing import Any

from hoopwright.case.holding_model import Temperatures
from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.table import Table


def _in_use(name: str, meaning: str, example: str) -> Key:
    return Key(name, "temperature", meaning, example, "-150 degC to 500 degC")


KEYS = TableKeys(
    "temperatures",
    "of the joint after assembly, the same for both parts",
    keys=(
        _in_use("use_least", "lowest in use", "-10 degC"),
        _in_use("use_most", "highest in use", "45 degC"),
        optional(
            "oven",
            "temperature",
            "of a paint oven after assembly, as the parts reach it",
            "190 degC",
            "20 degC to 500 degC",
        ),
        optional("oven_time", "time", "how long the oven lasts", "20 min", "above 0 s", needs=("oven",)),
    ),
)


def read(table: Table) -> dict[str, Any]:
    minimum, maximum = table.get("use_least"), table.get("use_most")
    if minimum is not None and maximum is not None and minimum > maximum:
        table.fault("use_least", "above use_most", "swap the two")
    oven = table.fields("oven", "oven_time")
    return {"temperatures": table.build(Temperatures, use_min=minimum, use_max=maximum, **oven)}
