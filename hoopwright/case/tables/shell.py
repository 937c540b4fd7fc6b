"""[shell]: the outer body after boring, z = 0 at its left face.

material = "6061-T6 welded"     a key of the materials table, or of a [material.NAME] here
width = "73 mm"
outside_diameter = "44 mm"      or [[shell.outside]] lands
bore_diameter = "39.010 mm"     or [[shell.bore]] lands
bore_plus_minus = "5 um"        optional
least_wall = "1.5 mm"           optional: the user's own limit on the wall
runout = "0.05 mm"              optional: bore to outside, total indicator reading
[shell.out_of_round]            optional, see out_of_round.py
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.table import Table
from hoopwright.case.tables.lands import read_surface
from hoopwright.case.tables.material import choose_material
from hoopwright.case.tables.out_of_round import read_out_of_round
from hoopwright.geometry import Shell
from hoopwright.geometry.validation import with_ends_snapped
from hoopwright.measured.measured_land import MeasuredLand


def read(table: Table) -> dict[str, Any]:
    width = table.length("width", example="73 mm", above="0 mm")
    material = choose_material(table)
    measured: list[MeasuredLand] = []
    outside, bore = (
        read_surface(table, surface, z_start=0.0, z_end=width, material=material, measured=measured)
        for surface in ("outside", "bore")
    )
    shell = table.build(_shell, width=width, outside=outside, bore=bore)
    return {
        "shell": shell,
        "shell_material": material,
        "shell_measured": tuple(measured),
        "min_wall_mm": table.length("least_wall", example="1.5 mm", default=None, above="0 mm"),
        "runout_mm": table.length("runout", example="0.05 mm", default="0 mm", minimum="0 mm"),
        "out_of_round": read_out_of_round(table),
    }


def _shell(width: float, outside: Any, bore: Any) -> Shell:
    return Shell(
        width=width,
        outside=with_ends_snapped(outside, z_start=0.0, z_end=width),
        bore=with_ends_snapped(bore, z_start=0.0, z_end=width),
    )
