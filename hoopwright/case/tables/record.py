"""[record]: layout of the record. The table is optional.

paper = "A4"                    A4 or letter; when left out A4 for a metric case, letter for an inch one
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.table import Table

PAPERS = {"A4": "A4", "letter": "letter"}


def read(table: Table) -> dict[str, Any]:
    if not table.has("paper"):
        return {"paper": None}
    return {"paper": table.choice("paper", PAPERS, what="paper")}
