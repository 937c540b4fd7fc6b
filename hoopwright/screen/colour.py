"""Colour of a verdict on a terminal, beside its words and never in their place."""

from __future__ import annotations

import os
from typing import TextIO

CODES = {
    "holds": "1;32",
    "holds as far as judged": "1;36",
    "undecided": "1;33",
    "fails": "1;31",
    "contradicted": "1;35",
}
"""Bold, and a colour of its own for every state of the whole (ECMA-48, select graphic rendition)."""


def in_colour(report: str, verdict: str, state: str, stream: TextIO) -> str:
    """The report with the first line of its verdict in the colour of the state, where the stream takes
    it."""
    if not takes_colour(stream):
        return report
    lines = report.splitlines(keepends=True)
    for k, line in enumerate(lines):
        if line.strip() and verdict.startswith(line.strip()):
            lines[k] = f"\033[{CODES[state]}m{line.rstrip()}\033[0m\n"
            break
    return "".join(lines)


def takes_colour(stream: TextIO) -> bool:
    """Whether a stream is a terminal whose user has not asked for none (no-color.org)."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
