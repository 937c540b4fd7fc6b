"""[shell.out_of_round]: out-of-roundness of the shell's bore before pressing."""

from __future__ import annotations

from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.service_model import OutOfRound
from hoopwright.case.table import Table


def _height(name: str, meaning: str) -> Key:
    return Key(name, "length", meaning, "0.03 mm", "0 mm to 1 mm", default="0 mm")


KEYS = TableKeys(
    "out_of_round",
    "out-of-roundness of the shell's bore before pressing",
    keys=(
        _height("ovality", "greatest less least diameter, two-point readings"),
        _height(
            "three_lobe",
            "peak to valley of the radius over three lobes: readings at two opposite points cannot see it, "
            "a three-point gauge or a dial run round the bore can",
        ),
        optional(
            "angle",
            "angle",
            "direction of the greatest diameter; without it the worst is taken",
            "90 deg",
            needs=("ovality",),
        ),
        Key(
            "three_lobe_angle",
            "angle",
            "direction of one lobe that lies outwards",
            "0 deg",
            default="0 deg",
            needs=("three_lobe",),
        ),
    ),
    any_of=(("ovality", "three_lobe"),),
)


def read_out_of_round(table: Table) -> OutOfRound | None:
    """Out-of-roundness given in the [shell] table, or None."""
    row = table.subtable("out_of_round")
    if row is None:
        return None
    if not (row.has("ovality") or row.has("three_lobe")):
        row.fault("ovality", "missing", f'write e.g. ovality = "{row.example("0.03 mm")}"')
    return row.build(OutOfRound, **row.fields("ovality", "three_lobe", "angle", "three_lobe_angle"))
