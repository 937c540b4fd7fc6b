"""Versions, mesh and checksums of a record, and lines for signatures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hoopwright.record.pages.blocks import Block, as_sentence, facts, heading


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


def before_signing(d: dict[str, Any]) -> list[Block]:
    """What to have looked at before signing, a box for each."""
    items = [as_sentence(point["text"]) for point in d["before_signing"]]
    return [heading("Before you sign"), {"kind": "boxes", "items": items}]


SIGNED_BY = ("Repaired by", "Checked by", "Received by", "Reviewed by (scope)")


def signatures(names: Sequence[str] = SIGNED_BY) -> list[Block]:
    return [{"kind": "sign", "names": list(names)}]
