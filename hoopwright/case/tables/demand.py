"""[demand]: what the fit must hold, before any factor."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.model import DemandInput
from hoopwright.case.table import Table

KEYS = TableKeys(
    "demand",
    "what the fit must hold, before any factor",
    keys=(
        Key("axial_force", "force", "along the axis", default="0 N", limits="from 0 N"),
        Key("torque", "torque", "about the axis", default="0 N*m", limits="from 0 N*m"),
    ),
    any_of=(("axial_force", "torque"),),
)


def read(table: Table) -> dict[str, Any]:
    if not (table.has("axial_force") or table.has("torque")):
        force, torque = table.example("2 kN"), table.example("50 N*m")
        advice = f'write e.g. axial_force = "{force}" or torque = "{torque}"'
        table.fault("axial_force", "missing", advice)
    return {"demand": table.build(DemandInput, **table.fields("axial_force", "torque"))}
