"""An address as a QR code on a terminal, to be opened by a phone's camera instead of typed."""

from __future__ import annotations

import os
import shutil
from collections.abc import Sequence
from itertools import zip_longest
from typing import TextIO

import segno

QUIET_ZONE = 4
"""Light modules on every side: ISO/IEC 18004, quiet zone, 4X."""
CORRECTION = "m"
"""Level of error correction, ISO/IEC 18004: M, about 15 % of the codewords; a higher one where it costs no
larger code."""
BLOCKS = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}
"""Two modules, one over the other, by whether they are dark: a character is twice as high as it is wide."""
BLACK_ON_WHITE = "\x1b[38;5;16;48;5;231m"
"""Both colours, from the part of the 256 that no theme changes: a code in the terminal's own colours is a
negative where that is dark, which not every camera reads."""
AS_BEFORE = "\x1b[0m"


def modules(text: str) -> list[Sequence[int]]:
    """Rows of the code with its quiet zone: 1 where a module is dark."""
    return [tuple(row) for row in segno.make_qr(text, error=CORRECTION).matrix_iter(border=QUIET_ZONE)]


def lines(text: str) -> list[str]:
    """The code in half blocks. A row that is left over at the foot is light, as the quiet zone."""
    rows = modules(text)
    light = (0,) * len(rows)
    return ["".join(map(BLOCKS.__getitem__, zip(*two, strict=True))) for two in _by_twos(rows, light)]


def _by_twos(rows: list[Sequence[int]], light: Sequence[int]) -> list[tuple[Sequence[int], Sequence[int]]]:
    return list(zip_longest(rows[::2], rows[1::2], fillvalue=light))


def for_terminal(text: str, stream: TextIO) -> str:
    """The code, coloured; where the terminal cannot show it one line that says why; "" where the stream is
    no terminal."""
    if not stream.isatty():
        return ""
    if os.environ.get("TERM") == "dumb" or os.environ.get("NO_COLOR"):
        return "No code for a phone: it needs colours, and NO_COLOR or TERM=dumb is set."
    found = lines(text)
    try:
        "".join(BLOCKS.values()).encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return f"No code for a phone: it needs a terminal with UTF-8, not {stream.encoding}."
    width, height = len(found[0]), len(found) + 1  # the cursor stands below it
    window = shutil.get_terminal_size()
    if window.columns < width:
        return f"No code for a phone: it needs a window of {width} columns and {height} lines."
    code = "\n".join(f"{BLACK_ON_WHITE}{line}{AS_BEFORE}" for line in found)
    if window.lines < height:
        return f"The code needs a window of {height} lines: make it higher.\n{code}"
    return code
