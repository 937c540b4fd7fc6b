"""Starter cases: a commented, complete case file for each kind of piece, in metric or in inch sizes.

Each has a template here, which says every size twice, <metric|inch>, so that both are plain sizes of
their own trade. What all pieces have in common, the fit and the shop, is in `shop.toml`.
"""

from __future__ import annotations

import re
from importlib import resources
from typing import Literal

UnitSystem = Literal["metric", "inch"]

PIECES = {
    "crank-shell": "a crank shell, threads torn out",
    "hub": "a hub shell, a bearing seat spun out",
    "housing": "a bearing housing, its seat worn",
    "plain": "a plain boss, its bore worn",
}
"""Kinds of piece that a starter is written for, and what each is in words."""

COMMENT_COLUMN = 37
_EITHER = re.compile(r"<([^<>|]*)\|([^<>|]*)>")
_COMMENT = re.compile(r"(?P<code>#?[^#\s].*?)\s{2,}(?P<comment># .*)")


def starter_text(piece: str = "crank-shell", units: UnitSystem = "metric") -> str:
    """Text of the starter case of a piece, a key of PIECES: invented values that check without a fault."""
    template = _part(piece.replace("-", "_")) + _part("shop")
    return aligned(_EITHER.sub(lambda either: either[1 if units == "metric" else 2], template))


def aligned(text: str) -> str:
    """The text with the comments behind its values in one column."""
    return "\n".join(map(_aligned, text.splitlines())) + "\n"


def _part(name: str) -> str:
    return resources.files("hoopwright.starters").joinpath(f"{name}.toml").read_text("utf-8")


def _aligned(line: str) -> str:
    found = _COMMENT.fullmatch(line)
    return line if found is None else f"{found['code']:<{COMMENT_COLUMN}}{found['comment']}"
