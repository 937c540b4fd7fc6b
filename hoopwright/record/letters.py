"""Letters that the fonts of the pages lack stand as their number in a frame, and are named at the end.

A font of last resort would draw one frame for all of them, and then a copy from the PDF would read as
another text than was typed.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from matplotlib import font_manager

from hoopwright.case.table import JOINERS
from hoopwright.record.figures.style import readable
from hoopwright.record.pages.blocks import bullets

OPEN, CLOSE = "\ue000", "\ue001"
"""Round a number, for the template. A case cannot hold them: they are not printable."""
SELECTOR = "\ufe0f"
"""Asks for a coloured picture of the sign before it, which these pages cannot give."""
MOST_NAMED = 20
PICTURES = Path(str(files("hoopwright.record").joinpath("fonts", "NotoEmoji-Regular.ttf")))
"""The font of pictures (emoji) that is brought along, see OFL.txt beside it."""


def spelled(pages: Mapping[str, Any]) -> dict[str, Any]:
    """The pages with such letters as numbers, and a line that names them where there are any."""
    missing: dict[str, None] = {}
    shown = _spelled(dict(pages), missing)
    if missing:
        shown["blocks"] = [*shown["blocks"], bullets([_told(list(missing))], small=True)]
    return shown | {"plain_title": pages["title"]}


def _spelled(value: Any, missing: dict[str, None]) -> Any:
    if isinstance(value, dict):
        return {k: _spelled(v, missing) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_spelled(v, missing) for v in value]
    if not isinstance(value, str) or readable(value):
        return value
    return "".join(_letter(c, missing) for c in value)


def _letter(letter: str, missing: dict[str, None]) -> str:
    if letter == SELECTOR:
        return ""
    if letter in "\n\t" + JOINERS or readable(letter) or ord(letter) in _pictures():
        return letter
    missing[letter] = None
    return f"{OPEN}{_number(letter)}{CLOSE}"


@cache
def _pictures() -> frozenset[int]:
    return frozenset(font_manager.get_font(PICTURES).get_charmap())


def _number(letter: str) -> str:
    return f"U+{ord(letter):04X}"


def _told(letters: list[str]) -> str:
    names = [f"{_number(c)} {unicodedata.name(c, 'without a name').lower()}" for c in letters[:MOST_NAMED]]
    more = f"; and {len(letters) - MOST_NAMED} more" if len(letters) > MOST_NAMED else ""
    return (f"Letters that the fonts of these pages lack stand as their Unicode number: {'; '.join(names)}"
            f"{more}. The case file and results.json have them as typed.")
