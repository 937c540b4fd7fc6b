"""Paragraphs and bullets wrapped for an 80-column terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import Any

WIDTH = 80


def paragraph(text: str, indent: str = "") -> list[str]:
    """The text wrapped to lines; one empty line for an empty text."""
    return textwrap.wrap(text, WIDTH - 1, initial_indent=indent, subsequent_indent=indent) or [""]


def title_lines(case: dict[str, Any]) -> list[str]:
    """The title of the case of a document, with a mark where its data is invented."""
    return paragraph(case["title"] + (" (invented data)" if case["invented"] else ""))


def bullets(texts: Iterable[str]) -> list[str]:
    """Each text as one bullet with hanging indent."""
    return [
        line
        for text in texts
        for line in textwrap.wrap(text, WIDTH - 1, initial_indent="  - ", subsequent_indent="    ")
    ]
