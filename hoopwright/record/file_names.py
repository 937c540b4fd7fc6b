"""Turn any text into a file name that is safe on every system."""

from __future__ import annotations

import re
import unicodedata

MAX_BYTES = 80
"""Bytes: leaves room for a number and an extension within the 255 that file systems allow."""


def safe_name(text: str, *, fallback: str = "record") -> str:
    """The text with letters and digits of any script, "-", "_" and inner dots kept and all else made "-".

    The name has at most MAX_BYTES bytes in UTF-8. Returns `fallback` where nothing is left.
    """
    cleaned = "".join(c if _is_allowed(c) else "-" for c in unicodedata.normalize("NFC", text))
    name = re.sub(r"\.{2,}", ".", re.sub(r"-{2,}", "-", cleaned)).strip("-._")
    cut = name.encode("utf-8")[:MAX_BYTES].decode("utf-8", "ignore")
    return cut.strip("-._") or fallback


def _is_allowed(character: str) -> bool:
    return character in "-_." or unicodedata.category(character)[0] in "LMN"
