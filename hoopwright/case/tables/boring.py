"""[boring]: from the damage to clean metal."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.sizing_model import Boring
from hoopwright.case.table import Table

KEYS = TableKeys(
    "boring",
    "from the damage to clean metal",
    keys=(
        Key("bore_now", "length", "bore before cutting", "38.5 mm", "above 0 mm"),
        optional(
            "damage_diameter", "length", "greatest diameter the damage reaches", "40.2 mm", "above 0 mm"
        ),
        optional(
            "damage_depth", "length", "depth of the damage in the bore, per side", "0.8 mm", "from 0 mm"
        ),
        Key(
            "runout",
            "length",
            "of the set-up, total indicator reading",
            "0.05 mm",
            "0 mm to 5 mm",
            default="0 mm",
        ),
        Key("depth_of_cut", "length", "per side and pass", "0.3 mm", "0.01 mm to 5 mm"),
        Key("finish_cut", "length", "per side, the last pass", "0.05 mm", "0.005 mm to 1 mm"),
    ),
    one_of=(("damage_diameter", "damage_depth"),),
)


def read(table: Table) -> dict[str, Any]:
    now = table.get("bore_now")
    if table.has("damage_diameter") == table.has("damage_depth"):
        table.fault(
            "damage_diameter",
            "give one of damage_diameter and damage_depth",
            f'write e.g. damage_diameter = "{table.example("40.2 mm")}"',
        )
    depth, damage = table.get("damage_depth"), table.get("damage_diameter")
    if damage is None and None not in (now, depth):
        damage = now + 2.0 * depth
    if None not in (now, damage) and damage < now:
        table.fault("damage_diameter", "smaller than bore_now", "give the greatest diameter of the damage")
    cuts = table.fields("runout", "depth_of_cut", "finish_cut")
    return {"boring": table.build(Boring, bore_now=now, damage_diameter=damage, **cuts)}
