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
COMPARISON_VERDICTS = {
    "holds": ("AT LEAST ONE HOLDS", "good"),
    "holds as far as judged": ("AT LEAST ONE HOLDS AS FAR AS JUDGED", "part"),
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
    said = d["verdict"].removeprefix("Holds: ").removeprefix("Holds as far as judged: ")
    return {"kind": "verdict", "tone": tone, "word": word, "text": said[:1].upper() + said[1:]}
