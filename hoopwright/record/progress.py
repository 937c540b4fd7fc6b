"""Progress messages on a terminal; none in a pipe."""

from __future__ import annotations

import sys
from collections.abc import Callable

Progress = Callable[[str], None]
"""Called with the present step; with "" at the end."""

CLEAR = "\r\033[K"


def on_terminal() -> Progress:
    """Progress as one line on standard error that is overwritten; silent where that is not a terminal."""
    stream = sys.stderr
    if not stream.isatty():
        return silent

    def say(what: str) -> None:
        stream.write(f"{CLEAR}{what} ..." if what else CLEAR)
        stream.flush()

    return say


def silent(what: str) -> None:
    """Progress that shows nothing, for pipes and programs."""
