"""[shell.out_of_round]: out-of-roundness of the shell's bore before pressing. The table is optional.

ovality = "0.03 mm"             greatest less least diameter, two-point readings
angle = "90 deg"                direction of the greatest diameter; without it the worst is taken
three_lobe = "0.01 mm"          peak to valley of the radius over three lobes: readings at two opposite
                                points cannot see it, a three-point gauge or a dial run round the bore can
three_lobe_angle = "0 deg"      direction of one lobe that lies outwards
"""

from __future__ import annotations

from functools import partial

from hoopwright.case.service_model import OutOfRound
from hoopwright.case.table import Table
from hoopwright.case.tables.tubes import read_angle


def read_out_of_round(table: Table) -> OutOfRound | None:
    """Out-of-roundness given in the [shell] table, or None."""
    row = table.subtable("out_of_round")
    if row is None:
        return None
    if not (row.has("ovality") or row.has("three_lobe")):
        row.fault("ovality", "missing", f'write e.g. ovality = "{row.example("0.03 mm")}"')
    length = partial(row.length, example="0.03 mm", default="0 mm", minimum="0 mm", maximum="1 mm")
    return row.build(
        OutOfRound,
        ovality=length("ovality"),
        three_lobe=length("three_lobe"),
        angle=read_angle(row, "angle", example="90 deg", default=None),
        three_lobe_angle=read_angle(row, "three_lobe_angle", example="0 deg", default="0 deg"),
    )
