"""Write a shop sheet as a new file, complete or not at all."""

from __future__ import annotations

from itertools import count
from pathlib import Path
from typing import Any

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.record.atomic_write import write_file
from hoopwright.record.file_names import safe_name
from hoopwright.record.paper import paper_of
from hoopwright.record.sheet.page import sheet_page
from hoopwright.record.sheet.pdf import sheet_pdf


def write_sheet(d: dict[str, Any], case: Case, folder: Path, paper: str | None) -> Path:
    """Write `<case>-sheet-001.pdf`, `-002`, ... and return its path; one that is there is left as it is.

    d: sheet document of the case. paper: None for that of the case. Raises OutputError.
    """
    units = Units(case.units)
    made = sheet_pdf(sheet_page(d, units, paper or paper_of(case, units.system)))
    stem = safe_name(Path(case.file).stem)
    names = (folder / f"{stem}-sheet-{number:03d}.pdf" for number in count(1))
    return write_file(next(name for name in names if not name.exists()), made)
