"""Names of the files of a record, and any text turned into a file name that is safe on every system."""

from __future__ import annotations

import re
import unicodedata

RESULTS, PAGES, SECTION, SUMS = "results.json", "record.pdf", "section.vtu", "SHA256SUMS"
RESERVED_NAMES = {RESULTS, PAGES, SECTION, SUMS, "figures", "service"}
FALLBACK_CASE_NAME = "case.toml"

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


def case_name(name: str) -> str:
    """Name of the case file in the record: its own, unless that is reserved or not portable."""
    taken = name.casefold() in {own.casefold() for own in RESERVED_NAMES}
    return FALLBACK_CASE_NAME if taken or not name.isprintable() or "\\" in name else name


def _is_allowed(character: str) -> bool:
    return character in "-_." or unicodedata.category(character)[0] in "LMN"
