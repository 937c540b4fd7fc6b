"""[compound]: a retaining compound in the joint; without a credit it counts for nothing.

The credit counts land by land, where the fit lies in the stated gap over its sizes, taper and form, and
only if the temperatures lie in their range and the compound has cured. Other lands carry friction alone,
and with "instead" no more of it than the film would carry.
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.holding_model import CompoundInput
from hoopwright.case.keys import Key, TableKeys, named, optional
from hoopwright.case.table import Table

KEYS = TableKeys(
    "compound",
    "a retaining compound in the joint; without credit it counts for nothing",
    keys=(
        Key(
            "shear_strength",
            "stress",
            "cured, as stated for these materials",
            "15 MPa",
            "above 0 MPa to 100 MPa",
        ),
        Key("source", "text", "source of that value", "maker's sheet", default=""),
        Key("credit", "number", "share of it to count", 0.5, "0 to 1", default=0.0),
        optional(
            "combination",
            "choice",
            "instead of friction, added to it, or the greater of the two; needed for a credit",
            options=named("instead", "added", "greater"),
            what="combination",
        ),
        optional(
            "friction_low",
            "number",
            "lowest friction with the compound on the seat; never counted above that of [fit]",
            0.06,
            "above 0 to 1.5",
        ),
        optional(
            "gap_least",
            "length",
            "least diametral gap it is stated for, an interference negative",
            "-0.05 mm",
        ),
        optional("gap_most", "length", "greatest such gap", "0.15 mm"),
        optional("temperature_least", "temperature", "lowest in use that it is stated for", "-40 degC"),
        optional("temperature_most", "temperature", "highest likewise", "150 degC"),
        optional("cured_for", "time", "cure given to the joint", "96 h", "above 0 s"),
        optional("full_cure", "time", "time to full strength at cure_least or warmer", "72 h", "above 0 s"),
        Key("cured_at", "temperature", "of the cure", default="20 degC"),
        optional("cure_least", "temperature", "lowest at which it cures as stated", "15 degC"),
    ),
)


def read(table: Table) -> dict[str, Any]:
    credit = table.get("credit")
    combination = table.get("combination", required=bool(credit))
    compound = table.build(
        CompoundInput,
        **table.fields("shear_strength", "source"),
        credit=credit,
        combination=combination,
        friction_low=table.get("friction_low"),
        gap_min=table.get("gap_least"),
        gap_max=table.get("gap_most"),
        temperature_min=table.get("temperature_least"),
        temperature_max=table.get("temperature_most"),
        cure_time=table.get("cured_for"),
        full_cure_time=table.get("full_cure"),
        cure_temperature=table.get("cured_at"),
        cure_temperature_min=table.get("cure_least"),
    )
    return {"compound": compound}
