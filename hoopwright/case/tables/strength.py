"""[[shell.strength]]: stretches of the shell whose metal is stronger than that of the rest.

[shell] names the weaker metal, as that of the whole: what judges the shell by one strength stays on the
safe side.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.model import StrengthZone
from hoopwright.case.reader_units import lengths_in
from hoopwright.case.table import Table
from hoopwright.case.tables.material import choose_material, material_key
from hoopwright.materials import Material, Provenance

KEYS = TableKeys(
    "strength",
    "a stretch of the shell that is stronger than its material, as are ends beside a heat-affected middle",
    keys=(
        Key("from", "length", "z of its left end", "0 mm"),
        Key("to", "length", "z of its right end", "10 mm"),
        material_key("whose strength it has", default=None),
        optional("yield_strength", "stress", "yield, as measured there", "240 MPa", "1 MPa to 5 GPa"),
    ),
    rows=True,
    one_of=(("material", "yield_strength"),),
)


def read_zones(table: Table, *, width: float | None, material: Material | None) -> tuple[StrengthZone, ...]:
    """The zones of a shell, from the left. width: of the shell, mm; material: its own; None where
    faulty."""
    found: list[StrengthZone] = []
    for row in table.rows("strength") or ():
        zone = _zone(row, width, material)
        if zone is None:
            continue
        if any(zone.z_start < other.z_end and other.z_start < zone.z_end for other in found):
            row.fault("from", "overlaps another zone of strength", "let each end where the next begins")
        found.append(zone)
    return tuple(sorted(found, key=lambda one: one.z_start))


def _zone(row: Table, width: float | None, own: Material | None) -> StrengthZone | None:
    start, end = row.get("from"), row.get("to")
    metal = _metal(row, own)
    if None in (start, end, width, metal, own):
        return None
    assert metal is not None
    assert own is not None
    assert width is not None
    if not -1e-9 <= start < end <= width + 1e-9:
        problem = lengths_in(f"not between 0 mm and the width of the shell, {width:.3f} mm", row.system)
        row.fault("to", problem, "give from and to, rising, along the shell")
    if metal.yield_strength < own.yield_strength:
        key = "material" if row.has("material") else "yield_strength"
        advice = "name the weaker metal in [shell] material and the stronger stretches here"
        row.fault(key, f"weaker than [shell] material, {own.name}", advice)
    return row.build(StrengthZone, z_start=start, z_end=end, material=metal)


def _metal(row: Table, own: Material | None) -> Material | None:
    named, measured = row.has("material"), row.has("yield_strength")
    if named and measured:
        row.fault("yield_strength", "given as well as material", "keep one of the two")
    if named:
        return choose_material(row)
    stress: Any = row.get("yield_strength", required=True)
    if stress is None or own is None:
        return None
    line = Provenance("yield_strength", "as stated in the case", "[[shell.strength]]")
    return replace(
        own,
        yield_strength=stress,
        ultimate_strength=None if own.ultimate_strength is None else max(own.ultimate_strength, stress),
        strengths=(),
        form="",
        direction="",
        thickness=None,
        provenance=(line, *(one for one in own.provenance if one.field != "yield_strength")),
    )
