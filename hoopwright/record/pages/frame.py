"""Page frame of every kind of record: paper, title, footer."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block

OPTIONAL_FIGURES = ("wall", "pressure", "unrolled")
"""Figures left out of the pages, in this order, where room is short; the folder has them all the same."""
PAPER = {"A4": "a4", "letter": "us-letter"}


def frame(d: dict[str, Any], kind: str, blocks: list[Block]) -> dict[str, Any]:
    """Input of the template. kind: type of document, shown above the title."""
    tool = d["tool"]
    return {
        "paper": PAPER[d["record"]["paper"]],
        "kind": kind,
        "title": d["case"]["title"],
        "invented": "Invented data: a demonstration, no real piece" if d["case"]["invented"] else "",
        "foot": f"{tool['name']} {tool['version']} · an aid to judgement, not an approval · "
        f"case {d['case']['sha256'][:12]}",
        "blocks": blocks,
        "dispensable": OPTIONAL_FIGURES,
    }
