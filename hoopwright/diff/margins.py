"""Margins, rows and stages that differ between the documents of two checks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.record.verify import agrees

NOT_JUDGED = "not assessed"
Cell = Mapping[str, Any]


@dataclass(frozen=True)
class ChangedCell:
    """One row in one stage. old, new: as in the documents, None where it is not judged there."""

    id: str
    title: str
    stage: str
    old: Cell | None
    new: Cell | None

    @property
    def moved(self) -> bool:
        """Whether it is judged on both sides, with another margin or state."""
        if self.old is None or self.new is None:
            return False
        old, new = self.old, self.new
        return old["state"] != new["state"] or not agrees(old["margin"], new["margin"], "")


def changed_cells(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[ChangedCell]:
    """The cells that moved, are new or are lost, those that now stand worst first."""
    before, after = dict(_cells(old)), dict(_cells(new))
    titles = {row["id"]: row["title"] for side in (old, new) for row in side["checks"]}
    found = [
        ChangedCell(row, titles[row], stage, before.get((row, stage)), after.get((row, stage)))
        for row, stage in {**after, **before}
    ]
    return [c for c in found if c.moved or c.old is None or c.new is None]


def _cells(results: Mapping[str, Any]) -> Iterator[tuple[tuple[str, str], Cell]]:
    """The judged cells of a document by row and stage, in its order."""
    for row in results["checks"]:
        if row["state"] != NOT_JUDGED:
            for cell in row["cells"] or [row]:
                if cell["state"] != NOT_JUDGED:
                    yield (row["id"], cell["where"]["stage"]), cell
