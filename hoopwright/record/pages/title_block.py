"""Top of the first page: title block and verdict."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block

VERDICTS = {
    "holds": ("HOLDS", "good"),
    "fails": ("DOES NOT HOLD", "bad"),
    "undecided": ("UNDECIDED", "open"),
    "contradicted": ("CONTRADICTED", "bad"),
    "not judged": ("NOT JUDGED", "open"),
}
"""Word and colour of a verdict on one repair, by the state of the whole."""
COMPARISON_VERDICTS = {
    "holds": ("AT LEAST ONE HOLDS", "good"),
    "undecided": ("NONE HOLDS", "bad"),
    "fails": ("NONE HOLDS", "bad"),
}
"""The same for a comparison."""


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
    verdicts = COMPARISON_VERDICTS if d["record"]["kind"] == "comparison" else VERDICTS
    word, tone = verdicts[d["state"]]
    return {"kind": "verdict", "tone": tone, "word": word, "text": d["verdict"]}
