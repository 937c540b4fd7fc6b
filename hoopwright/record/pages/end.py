"""The end of a record: cautions, limits, what it was made with, a place to sign."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.record.pages.blocks import Block, bullets, facts, heading, pair, together


def cautions(d: dict[str, Any]) -> list[Block]:
    return [pair([heading("Cautions"), bullets(d["cautions"], small=True)],
                 [heading("Limits of the method"), bullets(d["limits"], small=True)])]


def provenance(d: dict[str, Any], hashes: Mapping[str, str]) -> list[Block]:
    tool, mesh = d["tool"], d["mesh"]
    refined = f", refined {mesh['refinements']} times" if mesh["refinements"] else ""
    rows = [
        ("made with", f"{tool['name']} {tool['version']}; "
                      + ", ".join(f"{name} {number}" for name, number in d["versions"].items())),
        ("mesh", f"{mesh['fine_unknowns']} unknowns, and {mesh['coarse_unknowns']} for the numerical error"
                 + refined),
        *((f"SHA-256 of {name}", value) for name, value in hashes.items()),
        ("to check it again", f"{tool['name']} verify FOLDER computes every number anew from the case file"),
    ]
    return [heading("Made with"), {**facts(rows), "kind": "fine_facts"}]


def signatures() -> list[Block]:
    return [together({"kind": "sign", "names": ["Repaired by", "Checked by", "Received by"]})]
