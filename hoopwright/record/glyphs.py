"""Replace characters that no bundled font covers by their Unicode code point, and list them at the end.

A fallback font would draw the same empty box for all of them, and text copied from the PDF would differ
from what was typed.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from matplotlib import font_manager

from hoopwright.case.table import ZERO_WIDTH_JOINERS
from hoopwright.record.figures.style import font_covers
from hoopwright.record.pages.blocks import bullets

FRAME_START, FRAME_END = "\ue000", "\ue001"
"""Enclose a code point, which the template frames. No case contains them: they are not printable."""
EMOJI_SELECTOR = "\ufe0f"
"""Variation selector that asks for the preceding character in colour, which these pages cannot show."""
MAX_NAMED = 20
EMOJI_FONT = Path(str(files("hoopwright.record").joinpath("fonts", "NotoEmoji-Regular.ttf")))
"""The bundled emoji font; its licence is OFL.txt in the same folder."""


def replace_uncovered(pages: Mapping[str, Any]) -> dict[str, Any]:
    """The pages with uncovered characters replaced, and a note that lists them where there are any."""
    missing: dict[str, None] = {}
    shown = _replace(dict(pages), missing)
    if missing:
        shown["blocks"] = [*shown["blocks"], bullets([_replacement_note(list(missing))], small=True)]
    return shown | {"plain_title": pages["title"]}


def _replace(value: Any, missing: dict[str, None]) -> Any:
    if isinstance(value, dict):
        return {k: _replace(v, missing) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_replace(v, missing) for v in value]
    if not isinstance(value, str) or font_covers(value):
        return value
    return "".join(_glyph_or_code_point(c, missing) for c in value)


def _glyph_or_code_point(character: str, missing: dict[str, None]) -> str:
    if character == EMOJI_SELECTOR:
        return ""
    if (
        character in "\n\t" + ZERO_WIDTH_JOINERS
        or font_covers(character)
        or ord(character) in _emoji_code_points()
    ):
        return character
    missing[character] = None
    return f"{FRAME_START}{_code_point(character)}{FRAME_END}"


@cache
def _emoji_code_points() -> frozenset[int]:
    return frozenset(font_manager.get_font(EMOJI_FONT).get_charmap())


def _code_point(character: str) -> str:
    return f"U+{ord(character):04X}"


def _replacement_note(characters: list[str]) -> str:
    names = [
        f"{_code_point(c)} {unicodedata.name(c, 'without a name').lower()}" for c in characters[:MAX_NAMED]
    ]
    more = f"; and {len(characters) - MAX_NAMED} more" if len(characters) > MAX_NAMED else ""
    return (
        f"Characters that no font of these pages covers are shown as their code point: {'; '.join(names)}"
        f"{more}. The case file and results.json keep them as typed."
    )
