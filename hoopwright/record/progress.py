"""A word on the terminal about what is being done; nothing at all in a pipe."""

from __future__ import annotations

import sys
from collections.abc import Callable

Progress = Callable[[str], None]
"""Takes what is done now; "" when all is done."""

CLEAR = "\r\033[K"


def on_terminal() -> Progress:
    """One line on standard error that is overwritten, where that is a terminal; else silence."""
    stream = sys.stderr
    if not stream.isatty():
        return silent

    def say(what: str) -> None:
        stream.write(f"{CLEAR}{what} ..." if what else CLEAR)
        stream.flush()

    return say


def silent(what: str) -> None:
    """For pipes and programs."""
