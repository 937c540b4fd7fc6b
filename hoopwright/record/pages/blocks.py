"""Blocks that the template lays out: headings, text, tables, figures. All text is shown as typed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

Block = dict[str, Any]


def heading(text: str) -> Block:
    return {"kind": "heading", "text": text}


def text(words: str, *, small: bool = False) -> Block:
    return {"kind": "text", "text": words, "small": small}


def facts(rows: Iterable[tuple[str, str]]) -> Block:
    """A list of names with their values; rows with an empty value are left out."""
    return {"kind": "facts", "rows": [list(r) for r in rows if r[1]]}


def table(
    head: Sequence[str],
    rows: Iterable[Sequence[str]],
    *,
    left: int = 1,
    wide: Sequence[int] = (0,),
    strong: Sequence[int] = (),
) -> Block:
    """A table. left: number of left-aligned columns, the others are right-aligned. wide: columns that take
    up spare width. strong: rows in bold."""
    body = [list(r) for r in rows]
    return {
        "kind": "table",
        "head": list(head),
        "rows": body,
        "left": left,
        "wide": list(wide),
        "strong": list(strong),
    }


def bullets(items: Iterable[str], *, small: bool = False) -> Block:
    return {"kind": "bullets", "items": list(items), "small": small}


def figure(name: str, *, floats: bool = False) -> Block:
    """A figure by name. floats: it may move to the top or foot of a page while the text runs on."""
    return {"kind": "figure", "name": name, "floats": floats}


def two_columns(left: Iterable[Block], right: Iterable[Block]) -> Block:
    """Two columns side by side."""
    return {"kind": "pair", "left": list(left), "right": list(right)}


def keep_together(*blocks: Block) -> Block:
    """Blocks that are kept on one page, unless they are taller than a page is."""
    return {"kind": "together", "blocks": list(blocks)}


def as_sentence(words: str) -> str:
    """The words with a capital and a full stop."""
    words = words.strip()
    return words if not words else words[0].upper() + words[1:] + ("" if words[-1] in ".!?" else ".")
