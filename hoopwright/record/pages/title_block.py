"""Top of the first page: title block and verdict."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block

VERDICT_WORDS = {"good": "HOLDS", "bad": "DOES NOT HOLD", "open": "UNDECIDED"}


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
    tone = tone_of(d)
    return {"kind": "verdict", "tone": tone, "word": VERDICT_WORDS[tone], "text": d["verdict"]}


def tone_of(d: dict[str, Any]) -> str:
    """Tone of the verdict, which sets its word and colour: "good", "bad" or "open"."""
    states = {c["state"] for c in d["checks"]}
    if "fails" in states or d["closed_form"]["agrees"] is False:
        return "bad"
    return "good" if "holds" in states and "unresolved" not in states else "open"
