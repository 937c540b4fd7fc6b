"""What presets filled in where the case gives nothing."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.display.presets import filled_rows
from hoopwright.record.pages.blocks import Block, as_sentence, bullets, heading, table


def presets(d: dict[str, Any], units: Units) -> list[Block]:
    part = d["presets"]
    if not part["filled"] and not part["notes"]:
        return []
    rows = list(filled_rows(part, units))
    return [
        heading("From presets, since the case does not give it"),
        *([table(["preset", "fills in", "rests on"], rows, left=3, wide=(1, 2))] if rows else []),
        bullets([as_sentence(note) for note in part["notes"]], small=True),
    ]
