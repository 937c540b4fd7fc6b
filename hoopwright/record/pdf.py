"""Blocks to a PDF. All text reaches the template as data; nothing of it is run or read as markup."""

from __future__ import annotations

import json
from bisect import bisect_left
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import matplotlib
import typst

from hoopwright.record.letters import PICTURES, spelled

MOST_PAGES = 4
SCALES = (1.0, 0.92, 0.84, 0.76)
"""Width of the figures as a share of the column: the first with which the record keeps to MOST_PAGES."""
PPI = 150
ONE_EACH = b"""#set page(width: auto, height: auto, margin: 0pt)
#for name in json(bytes(sys.inputs.names)) { page(image(bytes(sys.inputs.at(name)), format: "svg")) }
"""


def pdf(pages: Mapping[str, Any], figures: Mapping[str, str]) -> bytes:
    """pages: as record_pages gives them. figures: SVG by name. The same bytes for the same input.

    A record with more to say than MOST_PAGES hold, even with small figures and without those that
    matter least (pages["dispensable"]), runs to more.
    """
    template = files("hoopwright.record").joinpath("template.typ").read_bytes()
    dispensable = pages["dispensable"]
    tries = [(s, 0) for s in SCALES] + [(SCALES[-1], n + 1) for n in range(len(dispensable))]
    shown = spelled(pages)

    @cache
    def compiler(trial: int) -> typst.Compiler:
        scale, without = tries[trial]
        kept = {f"figure-{name}": svg for name, svg in figures.items()
                if name not in dispensable[:without]}
        data = json.dumps({**shown, "scale": scale}, ensure_ascii=False)
        return _compiler(template, {**kept, "data": data})

    def fits(trial: int) -> bool:
        return bool(json.loads(compiler(trial).query("<pages>", field="value", one=True)) <= MOST_PAGES)

    # every try takes fewer pages than the one before; the last is taken unseen
    first = bisect_left(range(len(tries) - 1), True, key=fits)
    made = compiler(first).compile(template, format="pdf")
    assert isinstance(made, bytes)
    return made


def png_of(figures: Mapping[str, str]) -> dict[str, bytes]:
    """SVG figures as PNG, by name: much quicker than drawing each a second time."""
    if not figures:
        return {}
    compiler = _compiler(ONE_EACH, {**figures, "names": json.dumps(list(figures))})
    made = compiler.compile(format="png", ppi=PPI)
    sheets = made if isinstance(made, list) else [made]
    return {name: bytes(sheet) for name, sheet in zip(figures, sheets, strict=True) if sheet is not None}


def _compiler(template: bytes, inputs: dict[str, str]) -> typst.Compiler:
    return typst.Compiler(template, font_paths=_fonts(), ignore_system_fonts=True, sys_inputs=inputs)


@cache
def _fonts() -> typst.Fonts:
    """The compiler's own, and behind them those that matplotlib brings, for Arabic, Hebrew and signs, and
    ours for pictures. None of the system's, so that pages are alike everywhere."""
    brought = Path(matplotlib.get_data_path(), "fonts", "ttf")
    return typst.Fonts(include_system_fonts=False, font_paths=[str(brought), str(PICTURES.parent)])
