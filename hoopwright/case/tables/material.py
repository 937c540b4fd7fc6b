"""[material.NAME]: a material of the case's own, at 20 °C, which a part names like any other."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import NAME, REQUIRED, Key, TableKeys, optional
from hoopwright.case.table import Table
from hoopwright.materials import Material, Provenance

MAX_MATERIALS = 20
NUMBERS = (
    Key("young_modulus", "stress", "Young's modulus", "69 GPa", "1 GPa to 1000 GPa"),
    Key("poisson_ratio", "number", "Poisson's ratio", 0.33, "above 0 to 0.499"),
    Key("expansion", "expansion", "coefficient of thermal expansion", limits="above 0 /K"),
    Key("yield_strength", "stress", "yield", "240 MPa", "1 MPa to 5 GPa"),
    Key("ultimate_strength", "stress", "tensile", "260 MPa", "1 MPa to 5 GPa"),
    Key("density", "density", "density", limits="above 0 kg/m^3"),
    optional("heat_limit", "temperature", "what its temper withstands for minutes to an hour", "180 degC"),
)
_ONE_MATERIAL = TableKeys(
    NAME,
    "a material of the case's own, at 20 °C, which a part names like any other",
    keys=(
        *NUMBERS,
        Key("source", "text", "source of the values", "mill certificate"),
        Key(
            "basis",
            "text",
            "what kind of values they are",
            "measured",
            default="as stated in the case file",
        ),
        Key("condition", "text", "of the metal", "as delivered", default="as stated in the case"),
    ),
)
KEYS = TableKeys("material", "materials of the case's own, each by a name", tables=(_ONE_MATERIAL,))


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


def read(table: Table) -> dict[str, Material | None]:
    """The case's own materials by name. A faulty one maps to None, so that its name is still known."""
    own = {}
    for number, name in enumerate(table.values):
        if number == MAX_MATERIALS:
            table.fault(name, f"more than {MAX_MATERIALS} materials", "drop the ones not used")
        if number >= MAX_MATERIALS:
            table.has(name)
        elif name in table.materials:
            table.has(name)
            table.fault(name, "already a built-in material", "give it another name")
        else:
            row = table.subtable(name)
            own[name] = None if row is None else _material(name, row)
    return own


def _material(name: str, row: Table) -> Material | None:
    values = row.fields(*(key.name for key in NUMBERS))
    if row.sound and values["ultimate_strength"] < values["yield_strength"]:
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
