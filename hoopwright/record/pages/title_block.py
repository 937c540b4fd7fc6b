"""Top of the first page: title block and verdict."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block

VERDICTS = {
    "holds": ("HOLDS", "good"),
    "fails": ("DOES NOT HOLD", "bad"),
    "undecided": ("UNDECIDED", "open"),
    "holds as far as judged": ("HOLDS AS FAR AS JUDGED", "part"),
    "contradicted": ("CONTRADICTED", "bad"),
}
"""Word and colour of a verdict on one repair, by the state of the whole."""


def title_block(d: dict[str, Any]) -> Block:
    job = d["job"]
    cells = [
        ("Piece", job["piece"]),
        ("Owner", job["owner"]),
        ("Mechanic", job["mechanic"]),
        ("Date", job["date"]),
    ]
    return {"kind": "title", "cells": [list(c) for c in cells], "notes": job["notes"]}


def verdict_block(d: dict[str, Any]) -> Block:
    """The verdict of a repair or of a comparison, with the word and the colour of its state."""
    word, tone = _of_comparison(d) if d["record"]["kind"] == "comparison" else VERDICTS[d["state"]]
    said = d["verdict"].removeprefix("Holds: ").removeprefix("Holds as far as judged: ")
    return {"kind": "verdict", "tone": tone, "word": word, "text": said[:1].upper() + said[1:]}


def _of_comparison(d: dict[str, Any]) -> tuple[str, str]:
    """How many of the routes hold. Green where every one does: beside one that fails it would be read as
    if any of them would do."""
    states = [route["state"] for route in d["routes"]]
    if d["state"] not in ("holds", "holds as far as judged"):
        return "NONE HOLDS", "open" if d["state"] == "undecided" else "bad"
    count = sum(state in ("holds", d["state"]) for state in states)
    hold = "HOLDS" if count == 1 else "HOLD"
    so_far = "" if d["state"] == "holds" else " AS FAR AS JUDGED"
    tone = "good" if set(states) == {"holds"} else "part"
    return f"{count} OF {len(states)} {hold}{so_far}", tone
