"""[material.NAME]: a material of the case's own, at 20 °C, which a part names like any other."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hoopwright.case.keys import NAME, REQUIRED, Key, TableKeys, optional
from hoopwright.case.table import Table
from hoopwright.materials import Material, Provenance
from hoopwright.materials import table as built_in

MAX_MATERIALS = 20
NUMBERS = (
    Key("young_modulus", "stress", "Young's modulus", "69 GPa", "1 GPa to 1000 GPa"),
    Key("poisson_ratio", "number", "Poisson's ratio", 0.33, "above 0 to 0.499"),
    Key("expansion", "expansion", "coefficient of thermal expansion", limits="above 0 /K"),
    Key("yield_strength", "stress", "yield", "240 MPa", "1 MPa to 5 GPa"),
    optional("ultimate_strength", "stress", "tensile", "260 MPa", "1 MPa to 5 GPa"),
    optional("density", "density", "density; needed where it slips in by heat", limits="above 0 kg/m^3"),
    optional("heat_limit", "temperature", "what its temper withstands for minutes to an hour", "180 degC"),
)
OWN = "the user's own"
"""Beginning of the source of a material in a file of the user's own."""
_SOURCE = Key("source", "text", "source of the values", "mill certificate")
_WORDS = (
    Key(
        "basis",
        "text",
        "what kind of values they are",
        "measured",
        default="as stated in the case file",
    ),
    Key("condition", "text", "of the metal", "as delivered", default="as stated in the case"),
)
_ONE_MATERIAL = TableKeys(
    NAME,
    "a material of the case's own, at 20 °C, which a part names like any other",
    keys=(*NUMBERS, _SOURCE, *_WORDS),
)
KEYS = TableKeys("material", "materials of the case's own, each by a name", tables=(_ONE_MATERIAL,))


def in_own_file() -> TableKeys:
    """The same in a file of materials, which is the source itself where no other is given."""
    words = (replace(key, default="as stated there") for key in _WORDS)
    one = replace(_ONE_MATERIAL, keys=(*NUMBERS, replace(_SOURCE, default=""), *words))
    return replace(KEYS, tables=(one,))


def material_key(meaning: str, default: Any = REQUIRED) -> Key:
    """The key that names a material."""
    return Key(
        "material",
        "choice",
        meaning,
        "6061-T6",
        default=default,
        what="material",
        see="run `hoopwright materials` for the table",
    )


def choose_material(table: Table) -> Material | None:
    """The material named under the key `material`, or None after noting that it is unknown."""
    material: Material | None = table.get("material", required=True, options=table.materials)
    return material


def read(table: Table, *, limit: int = MAX_MATERIALS) -> dict[str, Material | None]:
    """The case's own materials by name. A faulty one maps to None, so that its name is still known. limit:
    how many there may be."""
    own = {}
    for number, name in enumerate(table.values):
        if number == limit:
            table.fault(name, f"more than {limit} materials", "drop the ones not used")
        if number >= limit:
            table.has(name)
        elif name in table.materials:
            table.has(name)
            whose = "a built-in material" if name in built_in() else "in the file that `materials` names"
            table.fault(name, f"already {whose}", "give it another name")
        else:
            row = table.subtable(name)
            own[name] = None if row is None else _material(name, row)
    return own


def _material(name: str, row: Table) -> Material | None:
    values = row.fields(*(key.name for key in NUMBERS))
    tensile = values["ultimate_strength"]
    if row.sound and tensile is not None and tensile < values["yield_strength"]:
        row.fault("ultimate_strength", "below yield_strength", "check which is which")
    source, basis = row.get("source"), row.get("basis")
    return row.build(
        Material,
        name=name,
        condition=row.get("condition"),
        provenance=tuple(
            Provenance(field, basis, source) for field, value in values.items() if value is not None
        ),
        **values,
    )
