"""[material.NAME]: a material of the case's own, at 20 °C, which a part names like any other."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hoopwright.case.keys import NAME, REQUIRED, Key, TableKeys, optional
from hoopwright.case.table import Table
from hoopwright.materials import HeatShares, Material, Provenance
from hoopwright.materials import table as built_in

MAX_MATERIALS = 20
FULL_STRENGTH_K = 80.0
"""Temperature, K above 20 °C, from which on heat counts while it lasts; our choice."""
NUMBERS = (
    Key("young_modulus", "stress", "Young's modulus", "69 GPa", "1 GPa to 1000 GPa"),
    Key("poisson_ratio", "number", "Poisson's ratio", 0.33, "above 0 to 0.499"),
    Key("expansion", "expansion", "coefficient of thermal expansion", limits="above 0 /K"),
    Key("yield_strength", "stress", "yield", "240 MPa", "1 MPa to 5 GPa"),
    optional("ultimate_strength", "stress", "tensile", "260 MPa", "1 MPa to 5 GPa"),
    optional("density", "density", "density; needed where it slips in by heat", limits="above 0 kg/m^3"),
    optional(
        "heat_limit", "temperature", "what its temper withstands for minutes to half an hour", "180 degC"
    ),
)
HOT = optional(
    "yield_at_heat_limit",
    "stress",
    "yield while it is as hot as heat_limit; without it the oven is in doubt above 100 °C (212 °F)",
    "170 MPa",
    "1 MPa to 5 GPa",
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
    "a material of the case's own, at 20 °C (68 °F), which a part names like any other",
    keys=(*NUMBERS, HOT, _SOURCE, *_WORDS),
)
KEYS = TableKeys("material", "materials of the case's own, each by a name", tables=(_ONE_MATERIAL,))


def in_own_file() -> TableKeys:
    """The same in a file of materials, which is the source itself where no other is given."""
    words = (replace(key, default="as stated there") for key in _WORDS)
    one = replace(_ONE_MATERIAL, keys=(*NUMBERS, HOT, replace(_SOURCE, default=""), *words))
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
    hot = _hot(row, values, basis, source)
    return row.build(
        Material,
        name=name,
        condition=row.get("condition"),
        hot=hot,
        provenance=tuple(
            Provenance(field, basis, source) for field, value in values.items() if value is not None
        ),
        **values,
    )


def _hot(row: Table, values: dict[str, Any], basis: str, source: str) -> HeatShares | None:
    """The strength while hot, on a straight line from 100 °C to the heat limit; None where not given."""
    stress, limit, cold = row.get(HOT.name), values["heat_limit"], values["yield_strength"]
    if stress is None or cold is None:
        return None
    if limit is None or limit <= FULL_STRENGTH_K:
        advice = f'write e.g. heat_limit = "{row.example("180 degC")}"'
        row.fault(HOT.name, f"without a heat_limit above {row.example('100 degC')}", advice)
        return None
    if stress > cold:
        row.fault(HOT.name, "above yield_strength", "check which is which")
        return None
    return HeatShares(((FULL_STRENGTH_K, 1.0), (limit, stress / cold)), basis, source)
