"""The key `stock` of a part: the form and thickness of what it is cut from."""

from __future__ import annotations

from hoopwright.case import quantity
from hoopwright.case.keys import optional
from hoopwright.case.table import Table
from hoopwright.materials import Stock
from hoopwright.materials.stock import FORMS

KEY = optional(
    "stock",
    "text",
    f"what it is cut from ({', '.join(FORMS)}), with the thickness of bar, extrusion or tube wall; where "
    "left out, the form that its material's strength is of",
    "tube",
)


def read_stock(table: Table) -> Stock | None:
    """The stock of a part; None where the file gives none, or after noting what is wrong with it."""
    text: str | None = table.get(KEY.name)
    if text is None:
        return None
    form, _, thickness = text.strip().partition(" ")
    example = f'write e.g. {KEY.name} = "bar {table.example("60 mm")}" or "tube"'
    if form not in FORMS:
        table.fault(KEY.name, "no form of stock that is known", f"{example}; forms: {', '.join(FORMS)}")
        return None
    if not thickness:
        return Stock(form)
    try:
        size = quantity.parse(thickness, "length", example="60 mm", system=table.system)
    except quantity.QuantityError as error:
        table.fault(KEY.name, f"thickness: {error.problem}", example)
        return None
    if size <= 0.0:
        table.fault(KEY.name, "its thickness must be above 0", example)
        return None
    return Stock(form, size)
