"""Versions, mesh and checksums of a record, and lines for signatures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hoopwright.record.pages.blocks import Block, facts, heading


def provenance(d: dict[str, Any], hashes: Mapping[str, str]) -> list[Block]:
    tool = d["tool"]
    rows = [
        (
            "made with",
            f"{tool['name']} {tool['version']}; "
            + ", ".join(f"{name} {number}" for name, number in d["versions"].items()),
        ),
        ("mesh", _mesh(d)),
        *((f"SHA-256 of {name}", value) for name, value in hashes.items()),
        ("to verify it", f"{tool['name']} verify FOLDER recomputes everything from the case file"),
    ]
    return [heading("Made with"), {**facts(rows), "kind": "fine_facts"}]


def _mesh(d: dict[str, Any]) -> str:
    if "mesh" not in d:
        return ""
    mesh = d["mesh"]
    refined = f", refined {mesh['refinements']} times" if mesh["refinements"] else ""
    return (
        f"{mesh['fine_unknowns']} unknowns, and {mesh['coarse_unknowns']} for the numerical error" + refined
    )


def signatures(names: Sequence[str] = ("Repaired by", "Checked by", "Received by")) -> list[Block]:
    return [{"kind": "sign", "names": list(names)}]
