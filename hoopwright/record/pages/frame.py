"""What stands on every page of every kind of record."""

from __future__ import annotations

from typing import Any

from hoopwright.record.pages.blocks import Block

DISPENSABLE = ("wall", "pressure", "unrolled")
"""Figures that the pages may do without where there is no room; the folder holds them all the same."""
PAPER = {"A4": "a4", "letter": "us-letter"}


def frame(d: dict[str, Any], kind: str, blocks: list[Block]) -> dict[str, Any]:
    """Blocks with what stands on every page. kind: what sort of paper it is."""
    tool = d["tool"]
    return {
        "paper": PAPER[d["record"]["paper"]], "kind": kind, "title": d["case"]["title"],
        "invented": "Invented data: a demonstration, no real piece" if d["case"]["invented"] else "",
        "foot": f"{tool['name']} {tool['version']} · an aid to judgement, not an approval · "
                f"case {d['case']['sha256'][:12]}",
        "blocks": blocks, "dispensable": DISPENSABLE,
    }
