"""[material.NAME]: a material of the case's own, at 20 °C, which a part names like any other.

young_modulus = "69 GPa"        poisson_ratio = 0.33         expansion = "23.1e-6 /K"
yield_strength = "240 MPa"      ultimate_strength = "260 MPa"
density = "2710 kg/m^3"
heat_limit = "180 degC"         optional: what its temper withstands for minutes to an hour
condition = "as delivered"      optional
source = "mill certificate"     source of the values
basis = "measured"              optional: what kind of values they are
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.table import Table
from hoopwright.materials import Material, Provenance

MAX_MATERIALS = 20


def choose_material(table: Table) -> Material | None:
    """The material named under the key `material`, or None after noting that it is unknown."""
    see = "run `hoopwright materials` for the table"
    return table.choice("material", table.materials, what="material", see=see)


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
    stress, strength = row.stress, {"minimum": "1 MPa", "maximum": "5 GPa"}
    values: dict[str, Any] = {
        "young_modulus": stress("young_modulus", example="69 GPa", minimum="1 GPa", maximum="1000 GPa"),
        "poisson_ratio": row.number("poisson_ratio", example=0.33, above="0", maximum="0.499"),
        "expansion": row.expansion("expansion", above="0 /K"),
        "yield_strength": stress("yield_strength", example="240 MPa", **strength),
        "ultimate_strength": stress("ultimate_strength", example="260 MPa", **strength),
        "density": row.density("density", above="0 kg/m^3"),
        "heat_limit": row.temperature("heat_limit", example="180 degC", default=None),
    }
    if row.sound and values["ultimate_strength"] < values["yield_strength"]:
        row.fault("ultimate_strength", "below yield_strength", "check which is which")
    source = row.text("source", example="mill certificate")
    basis = row.text("basis", example="measured", default="as stated in the case file")
    return row.build(
        Material,
        name=name,
        condition=row.text("condition", example="as delivered", default="as stated in the case"),
        provenance=tuple(
            Provenance(field, basis, source) for field, value in values.items() if value is not None
        ),
        **values,
    )
