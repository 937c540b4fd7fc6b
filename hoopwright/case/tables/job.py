"""[job]: free text for the record."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.model import Job
from hoopwright.case.table import MAX_TEXT_LENGTH, Table

KEYS = TableKeys(
    "job",
    "free text for the record",
    keys=(
        Key("piece", "text", "what is repaired", "crank shell of a cargo trike", default=""),
        Key("owner", "text", "whose it is", "name", default=""),
        Key("date", "text", "of the job", "2024-05-17", default=""),
        Key("mechanic", "text", "who does it", "name", default=""),
        Key("notes", "text", "what was found", "what was found", default="", max_length=MAX_TEXT_LENGTH),
    ),
)


def read(table: Table) -> dict[str, Any]:
    return {"job": table.build(Job, **table.fields("piece", "owner", "date", "mechanic", "notes"))}
