"""Text for a terminal of 80 columns: paragraphs and bullets."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

WIDTH = 80


def paragraph(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH - 1, initial_indent=indent, subsequent_indent=indent) or [""]


def bullets(texts: Iterable[str]) -> list[str]:
    return [
        line
        for text in texts
        for line in textwrap.wrap(text, WIDTH - 1, initial_indent="  - ", subsequent_indent="    ")
    ]
