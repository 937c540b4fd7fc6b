"""The typesetter with its fonts, the same everywhere."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import matplotlib
import typst

from hoopwright.record.glyphs import EMOJI_FONT


def compiler(template: bytes, inputs: dict[str, str]) -> typst.Compiler:
    """A typesetter of a template. inputs: texts by the name that the template asks for."""
    return typst.Compiler(template, font_paths=_fonts(), ignore_system_fonts=True, sys_inputs=inputs)


@cache
def _fonts() -> typst.Fonts:
    """Fonts of the typesetter, then of matplotlib for Arabic, Hebrew and symbols, then our emoji font.

    System fonts are left out, so that the pages are the same everywhere.
    """
    matplotlib_fonts = Path(matplotlib.get_data_path(), "fonts", "ttf")
    return typst.Fonts(
        include_system_fonts=False, font_paths=[str(matplotlib_fonts), str(EMOJI_FONT.parent)]
    )
