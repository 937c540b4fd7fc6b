"""Page frame of every kind of record: paper, title, footer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hoopwright.display import Units
from hoopwright.record.file_names import RESULTS
from hoopwright.record.pages.blocks import Block
from hoopwright.record.pages.descriptions import descriptions
from hoopwright.record.paper import TYPESETTER_NAME

OPTIONAL_FIGURES = ("wall", "pressure")
"""Figures left out of the pages, in this order, where room is short; the folder has them all the same."""
SEAL = f"SHA-256 of {RESULTS}: "
"""Begins the keyword of the PDF that names the results it was made from."""


def frame(
    d: dict[str, Any],
    kind: str,
    blocks: list[Block],
    hashes: Mapping[str, str],
    appendix: Sequence[Block] = (),
) -> dict[str, Any]:
    """Input of the template. kind: type of document, shown above the title. hashes: SHA-256 by file.
    appendix: blocks on pages of their own after the others, which these are not shortened for."""
    tool = d["tool"]
    return {
        "paper": TYPESETTER_NAME[d["record"]["paper"]],
        "kind": kind,
        "title": d["case"]["title"],
        "invented": "Invented data: a demonstration, no real piece" if d["case"]["invented"] else "",
        "foot": f"{tool['name']} {tool['version']} · an aid to judgement, not an approval · "
        f"{d['case']['file']}, {d['case']['sha256'][:12]}",
        "keywords": [SEAL + hashes[RESULTS]] if RESULTS in hashes else [],
        "blocks": blocks,
        "appendix": list(appendix),
        "dispensable": OPTIONAL_FIGURES,
        "alt": {
            name: words for name, (_, words) in descriptions(d, Units(d["record"]["shown_in"])).items()
        },
    }
