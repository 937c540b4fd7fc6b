"""[boring]: from the damage to clean metal. The table is optional.

bore_now = "38.5 mm"            bore before cutting
damage_diameter = "40.2 mm"     greatest diameter the damage reaches; or
damage_depth = "0.8 mm"         depth of the damage in the bore, per side
runout = "0.05 mm"              optional: of the set-up, total indicator reading
depth_of_cut = "0.3 mm"         per side and pass
finish_cut = "0.05 mm"          per side, the last pass
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.sizing_model import Boring
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    now = table.length("bore_now", example="38.5 mm", above="0 mm")
    if table.has("damage_diameter") == table.has("damage_depth"):
        table.fault(
            "damage_diameter",
            "give one of damage_diameter and damage_depth",
            f'write e.g. damage_diameter = "{table.example("40.2 mm")}"',
        )
    depth = table.length("damage_depth", example="0.8 mm", default=None, minimum="0 mm")
    damage = table.length("damage_diameter", example="40.2 mm", default=None, above="0 mm")
    if damage is None and None not in (now, depth):
        damage = now + 2.0 * depth
    if None not in (now, damage) and damage < now:
        table.fault("damage_diameter", "smaller than bore_now", "give the greatest diameter of the damage")
    return {
        "boring": table.build(
            Boring,
            bore_now=now,
            damage_diameter=damage,
            runout=table.length(
                "runout", example="0.05 mm", default="0 mm", minimum="0 mm", maximum="5 mm"
            ),
            depth_of_cut=table.length("depth_of_cut", example="0.3 mm", minimum="0.01 mm", maximum="5 mm"),
            finish_cut=table.length("finish_cut", example="0.05 mm", minimum="0.005 mm", maximum="1 mm"),
        )
    }
