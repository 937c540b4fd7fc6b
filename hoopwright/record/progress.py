"""Progress messages on a terminal; none in a pipe."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Progress = Callable[[str], None]
"""Called with the present step; with "" at the end."""

PATIENCE = 2.0
"""Time, s, from which on a reader wants to know what is being done."""
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


@contextmanager
def waiting(what: str) -> Iterator[None]:
    """Say what is being done where it takes longer than PATIENCE, and clear it once it is done."""
    progress = on_terminal()
    if progress is silent:
        yield
        return
    said = threading.Timer(PATIENCE, progress, (what,))
    said.daemon = True
    said.start()
    try:
        yield
    finally:
        said.cancel()
        said.join()
        progress("")
