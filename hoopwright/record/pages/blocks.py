"""What a page is made of. The template draws these; every text in them is shown as it is typed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from hoopwright.display import Units

Block = dict[str, Any]

LONGEST_ERROR_DECIMALS = 3


def heading(text: str) -> Block:
    return {"kind": "heading", "text": text}


def text(words: str, *, small: bool = False) -> Block:
    return {"kind": "text", "text": words, "small": small}


def facts(rows: Iterable[tuple[str, str]]) -> Block:
    """Names and values below each other; rows without a value are left out."""
    return {"kind": "facts", "rows": [list(r) for r in rows if r[1]]}


def table(head: Sequence[str], rows: Iterable[Sequence[str]], *, left: int = 1,
          wide: Sequence[int] = (0,), strong: Sequence[int] = ()) -> Block:
    """left: how many columns stand left, the others right. wide: columns that take the room that is
    over. strong: rows in bold."""
    body = [list(r) for r in rows]
    return {"kind": "table", "head": list(head), "rows": body, "left": left, "wide": list(wide),
            "strong": list(strong)}


def bullets(items: Iterable[str], *, small: bool = False) -> Block:
    return {"kind": "bullets", "items": list(items), "small": small}


def figure(name: str, *, floats: bool = False) -> Block:
    """floats: to the top or foot of a page, while the text goes on."""
    return {"kind": "figure", "name": name, "floats": floats}


def pair(left: Iterable[Block], right: Iterable[Block]) -> Block:
    """Two columns."""
    return {"kind": "pair", "left": list(left), "right": list(right)}


def together(*blocks: Block) -> Block:
    """Blocks that stay on one page."""
    return {"kind": "together", "blocks": list(blocks)}


def error_of(value: float) -> str:
    """Numerical error of a margin."""
    smallest = 10.0**-LONGEST_ERROR_DECIMALS
    return f"< {smallest:g}" if value < smallest else f"{value:.{LONGEST_ERROR_DECIMALS}f}"


def sentence(words: str) -> str:
    """With a capital and a full stop."""
    words = words.strip()
    return words if not words else words[0].upper() + words[1:] + ("" if words[-1] in ".!?" else ".")


def along(value: float, units: Units) -> str:
    """A place along the axis, with its unit."""
    return units.text(value, "mm", decimals=1 if units.system == "metric" else 2)
