"""[record]: layout of the record."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import TableKeys, named, optional
from hoopwright.case.table import Table

KEYS = TableKeys(
    "record",
    "layout of the record",
    keys=(
        optional(
            "paper",
            "choice",
            "size; when left out A4 for a metric case, letter for an inch one",
            options=named("A4", "letter"),
            what="paper",
        ),
    ),
)


def read(table: Table) -> dict[str, Any]:
    return table.fields("paper")
