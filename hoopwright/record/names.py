"""A safe file name from any text."""

from __future__ import annotations

import re
import unicodedata

LONGEST = 80
"""Bytes: leaves room for a number and an ending in the 255 that file systems allow."""


def safe_name(text: str, *, fallback: str = "record") -> str:
    """Letters and digits of any script, "-", "_" and inner dots; everything else becomes "-".

    At most LONGEST bytes in UTF-8; `fallback` where nothing is left.
    """
    kept = "".join(c if _plain(c) else "-" for c in unicodedata.normalize("NFC", text))
    name = re.sub(r"\.{2,}", ".", re.sub(r"-{2,}", "-", kept)).strip("-._")
    cut = name.encode("utf-8")[:LONGEST].decode("utf-8", "ignore")
    return cut.strip("-._") or fallback


def _plain(character: str) -> bool:
    return character in "-_." or unicodedata.category(character)[0] in "LMN"
