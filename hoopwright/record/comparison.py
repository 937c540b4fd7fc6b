"""Write the record of a comparison: a folder like that of a repair, with the routes side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.document.compare import document
from hoopwright.record.atomic_write import write_record
from hoopwright.record.case_inputs import job_part
from hoopwright.record.document import as_bytes, layout_part, normalised, versions
from hoopwright.record.figures.compare import figure
from hoopwright.record.figures.style import rendered
from hoopwright.record.file_names import PAGES, RESULTS
from hoopwright.record.file_set import with_file_set
from hoopwright.record.files import (
    as_png,
    case_files,
    figures_by_path,
    hashes,
    sealed,
    with_words,
)
from hoopwright.record.pages.comparison import comparison_pages
from hoopwright.record.pdf import pdf
from hoopwright.sizing.alternatives import compare_alternatives
from hoopwright.sizing.routes import RouteResult

MAX_BARS = 36
"""Bars of the figure that fit on a page beside what heads it; the table of margins has all of them."""


def write_comparison(
    case: Case,
    results: Sequence[RouteResult],
    units: Units,
    out_dir: str,
    case_path: str,
    *,
    sleeves: Sequence[str] | None = None,
) -> Path:
    """Write one new folder in out_dir, named after the case file, and return its path.

    sleeves: the materials that were compared, or None where the routes of the case were. Raises
    OutputError and then leaves nothing behind in out_dir.
    """
    path = Path(case_path)
    given = case_files(path, case)
    name = next(iter(given))
    made = comparison_document(case, results, units, sleeves=sleeves)
    whole = with_file_set(made, name, revolved=False)
    svgs = with_words({"compare": rendered(figure(results, units, max_bars=MAX_BARS), "svg")}, whole)
    files = {RESULTS: as_bytes(whole), **given, **figures_by_path(svgs, as_png(svgs))}
    pages = comparison_pages(whole, hashes=hashes(files, (*given, RESULTS)))
    files[PAGES] = pdf(pages, {"compare": svgs["compare"].decode("utf-8")})
    return write_record(Path(out_dir), f"{path.stem}-compared", sealed(files, whole["files"]))


def comparison_document(
    case: Case, results: Sequence[RouteResult], units: Units, *, sleeves: Sequence[str] | None = None
) -> dict[str, Any]:
    """Content of results.json of a comparison."""
    return normalised(
        {
            **document(case, results),
            "command": "record",
            "job": job_part(case),
            "record": layout_part(case, units, "comparison") | {"sleeves": list(sleeves or ())},
            "versions": versions(),
        }
    )


def recompute_comparison(case: Case, stored: Mapping[str, Any], units: Units) -> dict[str, Any]:
    """The document recomputed from the case. stored: results.json of the record, with the sleeves named."""
    named = stored["record"].get("sleeves")
    sleeves = [str(name) for name in named] if isinstance(named, list) else []
    return comparison_document(case, compare_alternatives(case, sleeves), units, sleeves=sleeves)
