"""[[service.tube]] or [service.clamped]: the support of the shell in service.

[[service.tube]]                one for each tube that meets the shell
name = "down tube"              optional
angle = "140 deg"               direction in which it leaves, from forward (0 deg) towards up (90 deg)
outside_diameter = "50.8 mm"
z = "41.5 mm"                   where its axis meets the shell's axis
relative_stiffness = 2          optional: its share of the load, relative to the other tubes

[service.clamped]               instead of tubes: a band of the outside held rigidly
from = "20 mm"                  to = "53 mm"
"""

from __future__ import annotations

from math import degrees
from typing import Any

from hoopwright.case.table import REQUIRED, Table
from hoopwright.geometry.tubes import Tube
from hoopwright.loads.support import ClampedBand


def read_support(table: Table) -> tuple[Tube, ...] | ClampedBand | None:
    """Tubes or the clamped band that support the shell; a fault when both or neither is given."""
    tubes, clamped = table.rows("tube"), table.subtable("clamped")
    if tubes and clamped:
        table.fault("clamped", "given as well as [[service.tube]]", "keep one of the two")
        return None
    if clamped is not None:
        return _clamped(clamped)
    if not tubes:
        if not table.has("tube") and not table.has("clamped"):
            table.fault(
                "tube",
                "missing",
                "give what holds the shell: [[service.tube]], each with angle, "
                "outside_diameter and z, or [service.clamped] with from and to",
            )
        return None
    read = [_tube(row, number) for number, row in enumerate(tubes, start=1)]
    return None if None in read else tuple(tube for tube in read if tube is not None)


def read_angle(table: Table, key: str, *, example: str, default: Any = REQUIRED) -> Any:
    """An angle in degrees, the unit the loads use."""
    turn = table.quantity("angle", key, example=example, default=default)
    return None if turn is None else round(degrees(turn), 9)


def _tube(row: Table, number: int) -> Tube | None:
    return row.build(
        Tube,
        name=row.text("name", example="down tube", default=f"tube {number}", max_length=40),
        angle=read_angle(row, "angle", example="140 deg"),
        diameter=row.length("outside_diameter", example="50.8 mm", above="0 mm"),
        z_centre=row.length("z", example="41.5 mm"),
        relative_stiffness=row.number(
            "relative_stiffness", example=1.0, default=1.0, above="0", maximum="1000"
        ),
    )


def _clamped(row: Table) -> ClampedBand | None:
    start, end = row.length("from", example="20 mm"), row.length("to", example="53 mm")
    if start is not None and end is not None and start >= end:
        row.fault("to", "not beyond from", "give from and to with from the smaller")
    return row.build(ClampedBand, z_start=start, z_end=end)
