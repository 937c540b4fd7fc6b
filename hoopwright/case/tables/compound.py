"""[compound]: a retaining compound in the joint. Optional; without `credit` it counts for nothing.

shear_strength = "15 MPa"       cured, as stated for these materials
source = "maker's sheet"        optional: source of that value
credit = 0.0                    optional: share of it to count, 0 to 1
combination = "greater"         how it combines with friction, needed for a credit: "instead" of it,
                                "added" to it, or the "greater" of the two
friction_low = 0.06             optional: lowest friction with the compound on the seat; never counted
                                above that of [fit]
gap_least = "-0.05 mm"          range it is stated for: diametral gap, an interference negative,
gap_most = "0.15 mm"
temperature_least = "-40 degC"  temperature in use,
temperature_most = "150 degC"
full_cure = "72 h"              time to full strength at cure_least or warmer
cure_least = "15 degC"
cured_for = "96 h"              cure time and temperature given to the joint
cured_at = "20 degC"

The credit counts land by land, where the fit lies in the stated gap over its sizes, taper and form, and
only if the temperatures lie in their range and the compound has cured. Other lands carry friction alone,
and with "instead" no more of it than the film would carry.
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.holding_model import CompoundInput
from hoopwright.case.table import Table

COMBINATIONS = {"instead": "instead", "added": "added", "greater": "greater"}


def read(table: Table) -> dict[str, Any]:
    credit = table.number("credit", example=0.5, default=0.0, minimum="0", maximum="1")
    combination = None
    if table.has("combination") or credit:
        combination = table.choice("combination", COMBINATIONS, what="combination")
    compound = table.build(
        CompoundInput,
        shear_strength=table.stress("shear_strength", example="15 MPa", above="0 MPa", maximum="100 MPa"),
        source=table.text("source", example="maker's sheet", default=""),
        credit=credit,
        combination=combination,
        friction_low=table.number("friction_low", example=0.06, default=None, above="0", maximum="1.5"),
        gap_min=table.length("gap_least", example="-0.05 mm", default=None),
        gap_max=table.length("gap_most", example="0.15 mm", default=None),
        temperature_min=table.temperature("temperature_least", example="-40 degC", default=None),
        temperature_max=table.temperature("temperature_most", example="150 degC", default=None),
        cure_time=table.time("cured_for", example="96 h", default=None, above="0 s"),
        full_cure_time=table.time("full_cure", example="72 h", default=None, above="0 s"),
        cure_temperature=table.temperature("cured_at", default="20 degC"),
        cure_temperature_min=table.temperature("cure_least", example="15 degC", default=None),
    )
    return {"compound": compound}
