"""Paragraphs and bullets wrapped for an 80-column terminal."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from typing import Any

WIDTH = 80
NO_BREAK_SPACE = "\u00a0"


def paragraph(text: str, indent: str = "") -> list[str]:
    """The text wrapped to lines; one empty line for an empty text."""
    return _wrapped(text, indent, indent) or [""]


def title_lines(case: dict[str, Any]) -> list[str]:
    """The title of the case of a document, with a mark where its data is invented."""
    return paragraph(case["title"] + (" (invented data)" if case["invented"] else ""))


def bullets(texts: Iterable[str]) -> list[str]:
    """Each text as one bullet with hanging indent."""
    return [line for text in texts for line in _wrapped(text, "  - ", "    ")]


def boxes(texts: Iterable[str]) -> list[str]:
    """Each text behind a box to tick, with hanging indent."""
    return [line for text in texts for line in _wrapped(text, "  [ ] ", "      ")]


def entry(name: str, text: str, columns: int) -> list[str]:
    """A name on the left and its text beside it, wrapped there. columns: of the name."""
    return _wrapped(text, f"{name:{columns}s}", " " * columns) or [name]


def _wrapped(text: str, first: str, rest: str) -> list[str]:
    """Lines of the text behind their indents. A number keeps its unit on its line."""
    kept = re.sub(r"(?<=\d) (?=[^\W\d]{1,3}\b|[°%])", NO_BREAK_SPACE, text)
    lines = textwrap.wrap(kept, WIDTH - 1, initial_indent=first, subsequent_indent=rest)
    return [line.replace(NO_BREAK_SPACE, " ") for line in lines]
