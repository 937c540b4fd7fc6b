"""[[service.tube]] or [service.clamped]: the support of the shell in service."""

from __future__ import annotations

from itertools import count

from hoopwright.case.faults import as_toml
from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.table import Table
from hoopwright.geometry.tubes import Tube
from hoopwright.loads.support import ClampedBand

MAX_NAME = 40  # characters

TUBE = TableKeys(
    "tube",
    "a tube that meets the shell",
    keys=(
        optional(
            "name",
            "text",
            "unlike that of any other tube; by its number when left out",
            "down tube",
            max_length=MAX_NAME,
        ),
        Key("angle", "angle", "in which it leaves, from forward (0 deg) towards up (90 deg)", "140 deg"),
        Key("outside_diameter", "length", "of the tube", "50.8 mm", "above 0 mm"),
        Key("z", "length", "where its axis meets the shell's axis", "41.5 mm"),
        Key(
            "relative_stiffness",
            "number",
            "its share of the load, relative to the other tubes",
            1.0,
            "above 0 to 1000",
            default=1.0,
        ),
    ),
    rows=True,
)
CLAMPED = TableKeys(
    "clamped",
    "instead of tubes: a band of the outside held rigidly",
    keys=(
        Key("from", "length", "z of its left end", "20 mm"),
        Key("to", "length", "z of its right end", "53 mm"),
    ),
)


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


def _tube(row: Table, number: int) -> Tube | None:
    return row.build(
        Tube,
        name=row.get("name") if row.has("name") else f"tube {number}",
        angle=row.get("angle"),
        diameter=row.get("outside_diameter"),
        z_centre=row.get("z"),
        relative_stiffness=row.get("relative_stiffness"),
    )


def _clamped(row: Table) -> ClampedBand | None:
    start, end = row.get("from"), row.get("to")
    if start is not None and end is not None and start >= end:
        row.fault("to", "not beyond from", "give from and to with from the smaller")
    return row.build(ClampedBand, z_start=start, z_end=end)
