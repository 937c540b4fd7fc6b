"""[[service.tube]] or [service.clamped]: the support of the shell in service.

[[service.tube]]                one for each tube that meets the shell
name = "down tube"              optional: unlike that of any other tube
angle = "140 deg"               direction in which it leaves, from forward (0 deg) towards up (90 deg)
outside_diameter = "50.8 mm"
z = "41.5 mm"                   where its axis meets the shell's axis
relative_stiffness = 2          optional: its share of the load, relative to the other tubes

[service.clamped]               instead of tubes: a band of the outside held rigidly
from = "20 mm"                  to = "53 mm"
"""

from __future__ import annotations

from itertools import count
from math import degrees
from typing import Any

from hoopwright.case.faults import as_toml
from hoopwright.case.table import REQUIRED, Table
from hoopwright.geometry.tubes import Tube
from hoopwright.loads.support import ClampedBand

MAX_NAME = 40  # characters


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
    _check_names(tubes, read)
    return None if None in read else tuple(tube for tube in read if tube is not None)


def _check_names(rows: list[Table], tubes: list[Tube | None]) -> None:
    """Note a fault for every tube that has the name of an earlier one: its reaction is found by name."""
    first: dict[str, int] = {}
    for number, (row, tube) in enumerate(zip(rows, tubes, strict=True), start=1):
        if tube is None:
            continue
        if tube.name not in first:
            first[tube.name] = number
            continue
        other = f"[[service.tube]] {first[tube.name]}"
        problem = (
            f"also the name of {other}"
            if row.has("name")
            else f"missing, and the default {as_toml(tube.name)} is the name of {other}"
        )
        free = as_toml(_free_name(tube.name, tubes))
        row.fault("name", problem, f"give each tube a name of its own, e.g. name = {free}")


def _free_name(name: str, tubes: list[Tube | None]) -> str:
    """The name with the first number behind it that no other tube has."""
    taken = {tube.name for tube in tubes if tube is not None}
    stem = name[: MAX_NAME - 4].rstrip(" 0123456789") or "tube"
    return next(free for n in count(2) if (free := f"{stem} {n}") not in taken)


def read_angle(table: Table, key: str, *, example: str, default: Any = REQUIRED) -> Any:
    """An angle in degrees, the unit the loads use."""
    turn = table.quantity("angle", key, example=example, default=default)
    return None if turn is None else round(degrees(turn), 9)


def _tube(row: Table, number: int) -> Tube | None:
    return row.build(
        Tube,
        name=row.text("name", example="down tube", default=f"tube {number}", max_length=MAX_NAME),
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
