"""Whether the pages of a record are those of its results: they name its digest, and are typeset again."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from hoopwright.record.case_inputs import materials_name
from hoopwright.record.file_names import PAGES, RESULTS, SECTION
from hoopwright.record.file_set import figure_file
from hoopwright.record.pages import record_pages
from hoopwright.record.pages.comparison import comparison_pages
from hoopwright.record.pages.frame import SEAL
from hoopwright.record.pdf import pdf
from hoopwright.record.reader import StoredRecord, read_bytes
from hoopwright.record.seal import digest

NAMED = re.compile(re.escape(SEAL.encode()) + rb"([0-9a-f]{64})")
TYPESET_BY = ("hoopwright", "typst", "matplotlib")
"""What the pages depend on besides their data: template, typesetter and fonts."""


@dataclass(frozen=True)
class TiedPages:
    """fault: what shows that the pages are not those of the results, "" where nothing does. untried: why
    they could not be typeset again, "" where they were."""

    fault: str
    untried: str


def tied_pages(stored: StoredRecord, files: tuple[str, ...], *, not_again: str) -> TiedPages:
    """Hold the pages against results.json and the figures beside them.

    files: the fixed set of the record. not_again: why they cannot be typeset again, "" if they can.
    """
    pages = stored.folder / PAGES
    if not pages.is_file():
        return TiedPages("", "it is missing")
    content = read_bytes(pages)
    named = {found.decode() for found in NAMED.findall(content)}
    if named != {digest(stored.folder, RESULTS)}:
        return TiedPages("it names another results.json" if named else f"it names no {RESULTS}", "")
    lacking = [name for name in files if not (stored.folder / name).is_file()]
    if not_again or lacking:
        return TiedPages("", not_again or f"{lacking[0]} is missing")
    if typeset_again(stored, files) == content:
        return TiedPages("", "")
    return TiedPages(f"it is not what {RESULTS} and the figures give when typeset again", "")


def typeset_again(stored: StoredRecord, files: tuple[str, ...]) -> bytes:
    """The pages made from the results and figures of the record; nothing where those cannot be typeset."""
    folder, comparison = stored.folder, stored.results["record"]["kind"] == "comparison"
    given = stored.case.name, *materials_name(stored.results)  # in the order in which the pages print them
    names = [*given, RESULTS]
    if not comparison:
        log = stored.results["settings"]["press_log"]
        names = [*given, *([log] if log else []), RESULTS, SECTION]
    hashes = {name: digest(folder, name) for name in names}
    data = (comparison_pages if comparison else record_pages)(stored.results, hashes=hashes)
    figures = [Path(name).stem for name in files if name.startswith("figures/") and name.endswith(".svg")]
    try:
        svgs = {name: read_bytes(folder / figure_file(name, "svg")).decode("utf-8") for name in figures}
        return pdf(data, svgs)
    except (RuntimeError, UnicodeDecodeError):  # of the typesetter, or of a figure that is no text
        return b""
