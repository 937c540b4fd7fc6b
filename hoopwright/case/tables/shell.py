"""[shell]: the outer body after boring, z = 0 at its left face."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.table import Table
from hoopwright.case.tables import out_of_round, strength
from hoopwright.case.tables.lands import land_tables, process_key, read_surface, surface_keys
from hoopwright.case.tables.material import choose_material, material_key
from hoopwright.case.tables.stock import KEY as STOCK
from hoopwright.case.tables.stock import read_stock
from hoopwright.geometry import Shell
from hoopwright.geometry.validation import with_ends_snapped
from hoopwright.measured.measured_land import MeasuredLand

KEYS = TableKeys(
    "shell",
    "the outer body after boring, z = 0 at its left face",
    keys=(
        material_key("of the materials table, or of a [material.NAME] here"),
        STOCK,
        Key("width", "length", "of the shell", "73 mm", "above 0 mm"),
        *surface_keys("outside"),
        *surface_keys("bore"),
        optional(
            "bored",
            "flag",
            "it is bored, its sizes are those it has; so where left out if all of its bore that carries "
            "the sleeve has readings",
            True,
        ),
        process_key("shell"),
        optional("least_wall", "length", "your own limit on the wall", "1.5 mm", "above 0 mm"),
        Key(
            "runout",
            "length",
            "bore to outside, total indicator reading",
            "0.05 mm",
            "from 0 mm",
            default="0 mm",
        ),
    ),
    tables=(land_tables("outside"), land_tables("bore"), out_of_round.KEYS, strength.KEYS),
    required=True,
    one_of=(("outside_diameter", "outside"), ("bore_diameter", "bore")),
)


def read(table: Table) -> dict[str, Any]:
    width = table.get("width")
    material = choose_material(table)
    measured: list[MeasuredLand] = []
    process = table.get("process")
    ends = {"z_start": 0.0, "z_end": width, "material": material, "measured": measured}
    outside = read_surface(table, "outside", **ends)
    bore = read_surface(table, "bore", **ends, process=process or "")
    shell = table.build(_shell, width=width, outside=outside, bore=bore)
    return {
        "shell": shell,
        "shell_material": material,
        "shell_stock": read_stock(table),
        "shell_strength": strength.read_zones(table, width=width, material=material),
        "shell_measured": tuple(measured),
        "shell_bored": table.get("bored"),
        "shell_process": process,
        "shell_lands_listed": isinstance(table.values.get("bore"), list),
        "min_wall_mm": table.get("least_wall"),
        "runout_mm": table.get("runout"),
        "out_of_round": out_of_round.read_out_of_round(table),
    }


def _shell(width: float, outside: Any, bore: Any) -> Shell:
    return Shell(
        width=width,
        outside=with_ends_snapped(outside, z_start=0.0, z_end=width),
        bore=with_ends_snapped(bore, z_start=0.0, z_end=width),
    )
