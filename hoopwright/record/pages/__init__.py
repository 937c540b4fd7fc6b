"""Pages of a record: from results.json to blocks for the template. Every number comes from there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.display import Units
from hoopwright.record.pages.blocks import Block, figure, heading, together
from hoopwright.record.pages.bodies import bodies, materials
from hoopwright.record.pages.end import cautions, provenance, signatures
from hoopwright.record.pages.fit import against_lame, fit
from hoopwright.record.pages.head import title_block, verdict_block
from hoopwright.record.pages.margins import margins
from hoopwright.record.pages.measured import loads, readings
from hoopwright.record.pages.press import press

DISPENSABLE = ("wall", "pressure", "unrolled")
"""Figures that the pages may do without where there is no room; the folder holds them all the same."""
PAPER = {"A4": "a4", "letter": "us-letter"}


def record_pages(d: dict[str, Any], hashes: Mapping[str, str]) -> dict[str, Any]:
    """What the template takes. d: results.json. hashes: of the files beside it, by name."""
    units = Units(d["record"]["shown_in"])
    blocks: list[Block] = [
        title_block(d), verdict_block(d), figure("drawing"), *bodies(d, units), *fit(d, units),
        *margins(d, units),
        heading("What governs"), figure("section"), figure("unrolled", floats=True),
        figure("pressure", floats=True), *against_lame(d, units), figure("wall", floats=True),
        *press(d, units), *readings(d, units), *loads(d, units), *materials(d, units), *cautions(d),
        together(*provenance(d, hashes), *signatures()),
    ]
    return frame(d, "Repair record", blocks)


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
