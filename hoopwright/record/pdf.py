"""Typeset the pages as PDF. All text reaches the template as data and is never read as markup."""

from __future__ import annotations

import json
from bisect import bisect_left
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from importlib.resources import files
from typing import Any

import typst

from hoopwright.record.glyphs import replace_uncovered
from hoopwright.record.sheet.pdf import fitted
from hoopwright.record.sheet.pdf import template as sheet_template
from hoopwright.record.typesetting import compiler

MAX_PAGES = 4
FIGURE_SCALES = (1.0, 0.92, 0.84, 0.76)
"""Figure widths as a share of the column, tried in order until the record fits MAX_PAGES."""
PPI = 150
ONE_SVG_PER_PAGE = b"""#set page(width: auto, height: auto, margin: 0pt)
#for name in json(bytes(sys.inputs.names)) { page(image(bytes(sys.inputs.at(name)), format: "svg")) }
"""


def pdf(pages: Mapping[str, Any], figures: Mapping[str, str]) -> bytes:
    """The PDF; the same input gives the same bytes.

    pages: from record_pages; its shop sheet is a page before them that does not count. figures: SVG by
    name. Figures are scaled down, and then those in pages["dispensable"] left out, until MAX_PAGES are
    enough; a record too long even so runs to more.
    """
    template = _template()
    dispensable = pages["dispensable"]
    attempts = [(s, 0) for s in FIGURE_SCALES] + [
        (FIGURE_SCALES[-1], n + 1) for n in range(len(dispensable))
    ]
    shown = replace_uncovered(pages)

    def attempted(attempt: int, **more: Any) -> typst.Compiler:
        scale, dropped = attempts[attempt]
        figure_inputs = {
            f"figure-{name}": svg for name, svg in figures.items() if name not in dispensable[:dropped]
        }
        data = json.dumps({**shown, "scale": scale, **more}, ensure_ascii=False)
        return compiler(template, {**figure_inputs, "data": data})

    def fits(attempt: int) -> bool:
        pages_alone = attempted(attempt, appendix=[], sheet=None).query("<pages>", field="value", one=True)
        return bool(json.loads(pages_alone) <= MAX_PAGES)

    with ThreadPoolExecutor(1) as pool:  # the typesetter releases the GIL
        sheet = pool.submit(_fitted_sheet, pages)
        # no attempt takes more pages than the one before it; the last is used without counting
        first = bisect_left(range(len(attempts) - 1), True, key=fits)
        made = attempted(first, sheet=sheet.result()).compile(template, format="pdf")
    assert isinstance(made, bytes)
    return made


def _fitted_sheet(pages: Mapping[str, Any]) -> dict[str, Any] | None:
    """The shop sheet of the pages at the scale at which it is one page; None where they have none."""
    return None if pages.get("sheet") is None else fitted(pages["sheet"])


def plain_pdf(pages: Mapping[str, Any]) -> bytes:
    """The PDF of pages without figures, as long as it comes; the same input gives the same bytes."""
    template = _template()
    shown = {**replace_uncovered(pages), "scale": 1.0, "sheet": _fitted_sheet(pages)}
    data = json.dumps(shown, ensure_ascii=False)
    made = compiler(template, {"data": data}).compile(format="pdf")
    assert isinstance(made, bytes)
    return made


def png_from_svg(figures: Mapping[str, str]) -> dict[str, bytes]:
    """SVG figures rasterised to PNG, by name; much faster than drawing each one again."""
    if not figures:
        return {}
    sheets_of = compiler(ONE_SVG_PER_PAGE, {**figures, "names": json.dumps(list(figures))})
    made = sheets_of.compile(format="png", ppi=PPI)
    sheets = made if isinstance(made, list) else [made]
    return {name: bytes(sheet) for name, sheet in zip(figures, sheets, strict=True) if sheet is not None}


def _template() -> bytes:
    """What lays the pages out, the shop sheet among them."""
    return sheet_template() + files("hoopwright.record").joinpath("template.typ").read_bytes()
