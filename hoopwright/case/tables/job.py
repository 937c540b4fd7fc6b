"""[job]: free text for the record. Every key is optional."""

from __future__ import annotations

from typing import Any

from hoopwright.case.model import Job
from hoopwright.case.table import MAX_TEXT_LENGTH, Table


def read(table: Table) -> dict[str, Any]:
    job = table.build(
        Job,
        piece=table.text("piece", example="crank shell of a cargo trike", default=""),
        owner=table.text("owner", example="name", default=""),
        date=table.text("date", example="2024-05-17", default=""),
        mechanic=table.text("mechanic", example="name", default=""),
        notes=table.text("notes", example="what was found", default="", max_length=MAX_TEXT_LENGTH),
    )
    return {"job": job}
