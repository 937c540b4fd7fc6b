"""Plain sentences filled into lines of a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

WIDTH = 79


def wrapped(texts: Iterable[str], mark: str = "  - ") -> list[str]:
    """Lines of at most WIDTH, each text begun with the mark and hung under it."""
    return [line for text in texts for line in textwrap.wrap(
        text, WIDTH, initial_indent=mark, subsequent_indent=" " * len(mark))]
