"""Typeset the shop sheet on one page: as large as it goes."""

from __future__ import annotations

import json
from bisect import bisect_left
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

from hoopwright.record.glyphs import replace_uncovered
from hoopwright.record.typesetting import compiler

SCALES = (1.12, 1.06, 1.0, 0.94, 0.88, 0.82, 0.76, 0.7, 0.64, 0.58)
"""Sizes of the words; the largest with which the page holds them all is taken."""
FULL = 0.95
"""Share of the page that the parts may take, so that there is room for remarks."""
SHOW = b"""
#let page-of-sheet = json(bytes(sys.inputs.sheet))
#set document(title: page-of-sheet.title, keywords: page-of-sheet.keywords, date: none)
#shop-sheet(page-of-sheet)
"""
MEASURE = b"""
#shop-fill(json(bytes(sys.inputs.sheet)))
"""


def template() -> bytes:
    """The functions that lay the sheet out, for the record too."""
    return files("hoopwright.record.sheet").joinpath("sheet.typ").read_bytes()


def fitted(page: Mapping[str, Any]) -> dict[str, Any]:
    """The page with the scale at which it is one; characters that no font has replaced."""
    shown = replace_uncovered({**page, "blocks": []})

    def fits(attempt: int) -> bool:
        return fill({**shown, "scale": SCALES[attempt]}) <= FULL

    # smaller words never take more of the page; the smallest are used without counting
    first = bisect_left(range(len(SCALES) - 1), True, key=fits)
    return {**shown, "scale": SCALES[first]}


def fill(page: Mapping[str, Any]) -> float:
    """Share of the page that its parts take. page: with its scale."""
    return float(json.loads(_compiler(page, MEASURE).query("<sheet-fill>", field="value", one=True)))


def sheet_pdf(page: Mapping[str, Any]) -> bytes:
    """The PDF; the same input gives the same bytes. page: from sheet_page."""
    made = _compiler(fitted(page)).compile(format="pdf")
    assert isinstance(made, bytes)
    return made


def _compiler(page: Mapping[str, Any], what: bytes = SHOW) -> Any:
    return compiler(template() + what, {"sheet": json.dumps(page, ensure_ascii=False)})
