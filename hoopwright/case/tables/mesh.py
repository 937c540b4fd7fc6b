"""[mesh]: mesh density.

elements_through_wall = 4       optional, 1 to 12
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import MeshInput
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    default = MeshInput().elements_through_wall
    count = table.integer("elements_through_wall", minimum=1, maximum=12, default=default)
    return {"mesh": table.build(MeshInput, elements_through_wall=count)}
