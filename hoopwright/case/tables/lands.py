"""[[shell.outside]], [[shell.bore]], [[sleeve.outside]]: a surface as a list of lands.

A single diameter over the whole length has a shorter form in the part's own table: outside_diameter and
outside_plus_minus, bore_diameter and bore_plus_minus.
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.faults import shortened
from hoopwright.case.keys import Key, TableKeys, named, optional
from hoopwright.case.table import Table
from hoopwright.case.tables.readings import CONDITIONS, READINGS, read_readings
from hoopwright.geometry import Land
from hoopwright.materials import Material
from hoopwright.measured.form_prior import DEFAULT_PROCESS, USUAL_FORM
from hoopwright.measured.measured_land import MeasuredLand, measured_land


def surface_keys(surface: str) -> tuple[Key, Key]:
    """The keys of a surface that has one diameter."""
    name = f"{surface}_diameter"
    return (
        optional(
            name,
            "length",
            f"of the {surface}, where it is one over the whole length; or lands",
            "44 mm",
            "above 0 mm",
        ),
        Key(
            f"{surface}_plus_minus",
            "length",
            "uncertainty of that diameter",
            "5 um",
            "from 0 mm",
            default="0 mm",
        ),
    )


def process_key(part: str) -> Key:
    """How a part is cut where the other sits on it."""
    return Key(
        "process",
        "choice",
        f"how its {'bore' if part == 'shell' else 'outside'} is cut: form that readings do not show may be "
        "as large as is usual of that",
        default=DEFAULT_PROCESS[part],
        options=named(*USUAL_FORM),
        what="process",
        needs=(f"[[{part}.{'bore' if part == 'shell' else 'outside'}.readings]] or [size] gauge",),
    )


def _diameter(name: str, meaning: str) -> Key:
    return optional(name, "length", meaning, "44 mm", "above 0 mm")


def land_tables(surface: str) -> TableKeys:
    """The lands of a surface."""
    return TableKeys(
        surface,
        f"a land of the {surface}, where it has several or was read",
        keys=(
            Key("from", "length", "z of its left end", "0 mm"),
            Key("to", "length", "z of its right end", "20 mm"),
            _diameter("diameter", "of the land"),
            _diameter("diameter_from", "at its left end, where tapered"),
            _diameter("diameter_to", "at its right end, where tapered"),
            Key("plus_minus", "length", "uncertainty of the diameter", "5 um", "from 0 mm", default="0 mm"),
            *CONDITIONS,
        ),
        tables=(READINGS,),
        rows=True,
        one_of=(("diameter", "diameter_from and diameter_to", "readings"),),
    )


def read_surface(
    table: Table,
    surface: str,
    *,
    z_start: Any,
    z_end: Any,
    material: Material | None = None,
    measured: list[MeasuredLand] | None = None,
    process: str = "",
) -> tuple[Land, ...] | None:
    """Lands of one surface ("outside" or "bore") in either form, or None where they are faulty.

    z_start, z_end: ends of the part, mm, or None where they were faulty. material: needed to bring
    readings to 20 °C. measured: list that receives the lands evaluated from readings. process: how the
    surface was cut, "" for what is usual.
    """
    single_key, plus_minus = f"{surface}_diameter", f"{surface}_plus_minus"
    if given_form(table, surface, single_key) == surface:
        if table.has(plus_minus):
            table.fault(plus_minus, f"goes with {single_key}", "give plus_minus in each land")
        return _lands(table, surface, material, [] if measured is None else measured, process)
    if not table.has(single_key):
        return None
    diameter, tolerance = table.get(single_key), table.get(plus_minus)
    if None in (diameter, tolerance, z_start, z_end):
        return None
    return (Land(z_start, z_end, diameter, diameter, tolerance),)


def given_form(table: Table, surface: str, single_key: str) -> str | None:
    """The one of two keys that gives the surface, or None after noting that both or neither does."""
    lands, single = table.has(surface), table.has(single_key)
    if lands and isinstance(size := table.values[surface], str | int | float):
        written = size if isinstance(size, str) else table.example("44 mm")
        table.fault(surface, "a single size", f'write {single_key} = "{shortened(written)}"')
        return None
    if lands and single:
        table.fault(single_key, f"given as well as {surface}", "keep one of the two")
        return None
    if not lands and not single:
        heading = f"[[{table.heading.strip('[]')}.{surface}]]"
        advice = f'write e.g. {single_key} = "{table.example("44 mm")}", or lands under {heading}'
        table.fault(single_key, "missing", advice)
        return None
    return surface if lands else single_key


def _lands(
    table: Table, surface: str, material: Material | None, measured: list[MeasuredLand], process: str
) -> tuple[Land, ...] | None:
    part = table.heading.strip("[]")
    lands: list[Land | None] = []
    for index, row in enumerate(table.rows(surface) or ()):
        if not row.has("readings"):
            lands.append(_land(row))
            continue
        found = _measured(row, material, part=part, surface=surface, index=index, process=process)
        if found is None:
            lands.append(None)
            continue
        measured.append(found)
        ends = found.readings.z_start, found.readings.z_end
        lands.append(Land(*ends, found.diameter_start, found.diameter_end, found.plus_minus))
    return None if not lands or None in lands else tuple(land for land in lands if land)


def _measured(row: Table, material: Material | None, **identity: Any) -> MeasuredLand | None:
    """A land evaluated from its readings. A size given beside them is noted as a fault."""
    for key in ("diameter", "diameter_from", "diameter_to", "plus_minus"):
        if row.has(key):
            row.fault(key, "given as well as readings", "keep one of the two")
    readings = read_readings(row)
    if readings is None or material is None:
        return None
    return measured_land(readings, expansion=material.expansion, **identity)


def _land(row: Table) -> Land | None:
    tapered = row.has("diameter_from") or row.has("diameter_to")
    if tapered and row.has("diameter"):
        row.fault("diameter", "given as well as diameter_from or diameter_to", "keep one form")
    return row.build(
        Land,
        z_start=row.get("from"),
        z_end=row.get("to"),
        diameter_start=row.get("diameter_from" if tapered else "diameter", required=True),
        diameter_end=row.get("diameter_to" if tapered else "diameter", required=True),
        plus_minus=row.get("plus_minus"),
    )
