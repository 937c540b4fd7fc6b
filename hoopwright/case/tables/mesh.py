"""[mesh]: mesh density."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.model import MeshInput
from hoopwright.case.table import Table

DENSITY = MeshInput().elements_through_wall
KEYS = TableKeys(
    "mesh",
    "mesh density",
    keys=(
        Key(
            "elements_through_wall",
            "integer",
            "of each body; more for a smaller numerical error, at the price of time",
            DENSITY,
            "1 to 12",
            default=DENSITY,
        ),
    ),
)


def read(table: Table) -> dict[str, Any]:
    return {"mesh": table.build(MeshInput, **table.fields("elements_through_wall"))}
