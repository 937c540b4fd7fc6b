"""[[shell.outside]], [[shell.bore]], [[sleeve.outside]]: a surface as a list of lands.

    from = "0 mm"                  to = "20 mm"
    diameter = "44 mm"             or diameter_from and diameter_to, where tapered
    plus_minus = "5 um"            optional

In place of diameter and plus_minus a land may list what was read of it: see readings.py.

One diameter for the whole length has a shorter form in the part's own table: outside_diameter and
outside_plus_minus, bore_diameter and bore_plus_minus.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from geometry import Land
from hoopwright.case.table import Table
from hoopwright.case.tables.readings import read_readings
from hoopwright.materials import Material
from hoopwright.measured.uncertainty import MeasuredLand, measured_land


def read_surface(
    table: Table,
    surface: str,
    *,
    z_start: Any,
    z_end: Any,
    material: Material | None = None,
    measured: list[MeasuredLand] | None = None,
) -> tuple[Land, ...] | None:
    """The lands of one surface ("outside" or "bore") in either form.

    z_start, z_end: ends of the part, mm, or None where they were faulty. material: brings readings to
    20 °C. measured: takes what was found from readings.
    """
    whole, plus_minus = f"{surface}_diameter", f"{surface}_plus_minus"
    if one_form(table, surface, whole) == surface:
        if table.has(plus_minus):
            table.fault(plus_minus, f"goes with {whole}", "give plus_minus in each land")
        return _lands(table, surface, material, [] if measured is None else measured)
    if not table.has(whole):
        return None
    diameter = table.length(whole, example="44 mm", above="0 mm")
    tolerance = table.length(plus_minus, example="5 um", default="0 mm", least="0 mm")
    if None in (diameter, tolerance, z_start, z_end):
        return None
    return (Land(z_start, z_end, diameter, diameter, tolerance),)


def one_form(table: Table, surface: str, whole: str) -> str | None:
    """Which of two keys gives the surface; a fault when both or neither does."""
    lands, single = table.has(surface), table.has(whole)
    if lands and single:
        table.fault(whole, f"given as well as {surface}", "keep one of the two")
        return None
    if not lands and not single:
        heading = f"[[{table.heading.strip('[]')}.{surface}]]"
        table.fault(whole, "missing", f'write e.g. {whole} = "44 mm", or lands under {heading}')
        return None
    return surface if lands else whole


def _lands(
    table: Table, surface: str, material: Material | None, measured: list[MeasuredLand]
) -> tuple[Land, ...] | None:
    part = table.heading.strip("[]")
    lands: list[Land | None] = []
    for index, row in enumerate(table.rows(surface) or ()):
        if not row.has("readings"):
            lands.append(_land(row))
            continue
        found = _measured(row, material, part=part, surface=surface, index=index)
        if found is None:
            lands.append(None)
            continue
        measured.append(found)
        ends = found.readings.z_start, found.readings.z_end
        lands.append(Land(*ends, found.diameter_start, found.diameter_end, found.plus_minus))
    return None if not lands or None in lands else tuple(land for land in lands if land)


def _measured(row: Table, material: Material | None, **whose: Any) -> MeasuredLand | None:
    """A land evaluated from its readings; sizes typed beside them are a fault."""
    for key in ("diameter", "diameter_from", "diameter_to", "plus_minus"):
        if row.has(key):
            row.fault(key, "given as well as readings", "keep one of the two")
    readings = read_readings(row)
    if readings is None or material is None:
        return None
    return measured_land(readings, expansion=material.expansion, **whose)


def _land(row: Table) -> Land | None:
    tapered = row.has("diameter_from") or row.has("diameter_to")
    diameter = partial(row.length, example="44 mm", above="0 mm")
    if tapered and row.has("diameter"):
        row.fault("diameter", "given as well as diameter_from or diameter_to", "keep one form")
    return row.build(
        Land,
        z_start=row.length("from", example="0 mm"),
        z_end=row.length("to", example="20 mm"),
        diameter_start=diameter("diameter_from" if tapered else "diameter"),
        diameter_end=diameter("diameter_to" if tapered else "diameter"),
        plus_minus=row.length("plus_minus", example="5 um", default="0 mm", least="0 mm"),
    )
