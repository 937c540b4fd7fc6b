"""[demand]: what the fit must hold, before any factor. The table is optional; one key is enough.

axial_force = "2 kN"
torque = "50 N*m"
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import DemandInput
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    if not (table.has("axial_force") or table.has("torque")):
        force, torque = table.example("2 kN"), table.example("50 N*m")
        advice = f'write e.g. axial_force = "{force}" or torque = "{torque}"'
        table.fault("axial_force", "missing", advice)
    demand = table.build(
        DemandInput,
        axial_force=table.force("axial_force", default="0 N", minimum="0 N"),
        torque=table.torque("torque", default="0 N*m", minimum="0 N*m"),
    )
    return {"demand": demand}
