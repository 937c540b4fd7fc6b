"""The record of a comparison: the same make, with the alternatives side by side."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.document.compare import document
from hoopwright.record.document import as_bytes, layout_part, settled, versions
from hoopwright.record.figures.compare import figure
from hoopwright.record.figures.style import rendered
from hoopwright.record.files import PAGES, RESULTS, as_png, case_name, figure_files, hashes, sealed
from hoopwright.record.folder import OutputError, write_record
from hoopwright.record.pages.comparison import comparison_pages
from hoopwright.record.parts import job_part
from hoopwright.record.pdf import pdf
from hoopwright.sizing.alternatives import compared
from hoopwright.sizing.routes import RouteResult


def write_comparison(
    case: Case, results: Sequence[RouteResult], units: Units, out_dir: str, case_path: str, *,
    sleeves: Sequence[str] | None = None,
) -> Path:
    """Write one new folder in out_dir, named after the case file, and return its path.

    sleeves: the materials that were named, or None where the routes of the case were compared. Raises
    OutputError; then nothing new is in out_dir.
    """
    path = Path(case_path)
    try:
        content = path.read_bytes()
    except OSError as error:
        raise OutputError(f"{path}: cannot be read for the record: {error.strerror or error}") from None
    if hashlib.sha256(content).hexdigest() != case.sha256:
        raise OutputError(f"{case_path}: changed while it was being compared; run it again")
    whole = comparison_document(case, results, units, sleeves=sleeves)
    svgs = {"compare": rendered(figure(results, units), "svg")}
    name = case_name(path.name)
    files = {RESULTS: as_bytes(whole), name: content, **figure_files(svgs, as_png(svgs))}
    pages = comparison_pages(whole, hashes=hashes(files, (name, RESULTS)))
    files[PAGES] = pdf(pages, {"compare": svgs["compare"].decode("utf-8")})
    return write_record(Path(out_dir), f"{path.stem}-compared", sealed(files))


def comparison_document(
    case: Case, results: Sequence[RouteResult], units: Units, *, sleeves: Sequence[str] | None = None
) -> dict[str, Any]:
    """results.json of a comparison."""
    return settled({
        **document(case, results), "verdict": verdict(results), "job": job_part(case),
        "record": layout_part(case, units, "comparison") | {"sleeves": list(sleeves or ())},
        "versions": versions(),
    })


def again(case: Case, kept: Mapping[str, Any], units: Units) -> dict[str, Any]:
    """The same from the case file alone; kept: results.json of the record."""
    named = kept["record"].get("sleeves")
    sleeves = [str(name) for name in named] if isinstance(named, list) else []
    return comparison_document(case, compared(case, sleeves), units, sleeves=sleeves)


def verdict(results: Sequence[RouteResult]) -> str:
    good = [r.route.name for r in results if r.state == "holds"]
    if not good:
        return f"None of the {len(results)} holds as planned."
    return f"{len(good)} of {len(results)} hold as planned: {'; '.join(good)}."
