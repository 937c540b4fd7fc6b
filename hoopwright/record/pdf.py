"""Blocks to a PDF. All text reaches the template as data; nothing of it is run or read as markup."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import matplotlib
import typst

MOST_PAGES = 4
SCALES = (1.0, 0.92, 0.84, 0.76)
"""Width of the figures as a share of the column: the first with which the record keeps to MOST_PAGES."""


def pdf(pages: Mapping[str, Any], figures: Mapping[str, str]) -> bytes:
    """pages: as record_pages gives them. figures: SVG by name. The same bytes for the same input.

    A record with more to say than MOST_PAGES hold, even with small figures, runs to more.
    """
    drawn = {f"figure-{name}": svg for name, svg in figures.items()}
    for scale in SCALES:
        data = json.dumps({**pages, "scale": scale}, ensure_ascii=False)
        compiler = typst.Compiler(_template(), font_paths=_fonts(), ignore_system_fonts=True,
                                  sys_inputs={**drawn, "data": data})
        if json.loads(compiler.query("<pages>", field="value", one=True)) <= MOST_PAGES:
            break
    made = compiler.compile(_template(), format="pdf")
    assert isinstance(made, bytes)
    return made


def _template() -> bytes:
    return files("hoopwright.record").joinpath("template.typ").read_bytes()


@cache
def _fonts() -> typst.Fonts:
    """The compiler's own, and behind them those that matplotlib brings: scripts from right to left, and a
    frame for any letter that no font has. None of the system's, so that pages are alike everywhere."""
    brought = Path(matplotlib.get_data_path(), "fonts", "ttf")
    return typst.Fonts(include_system_fonts=False, font_paths=[str(brought)])
