"""[press]: the press at hand. The table is optional.

capacity = "50 kN"              the most it may push
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import Press
from hoopwright.case.table import Table


def read(table: Table) -> dict[str, Any]:
    capacity = table.force("capacity", example="50 kN", default=None, above="0 N")
    return {"press": table.build(Press, capacity=capacity)}
