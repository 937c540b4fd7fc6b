"""One record: everything a run has to say, in one new folder."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any

from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.document import as_bytes, record_document
from hoopwright.record.figures import figures_of
from hoopwright.record.figures import press as press_figure
from hoopwright.record.figures import readings as readings_figure
from hoopwright.record.folder import OutputError, write_record
from hoopwright.record.gather import Gathered, gather
from hoopwright.record.pages import record_pages
from hoopwright.record.pdf import pdf, png_of
from hoopwright.record.progress import Progress, silent
from hoopwright.record.vtu import section_vtu

if TYPE_CHECKING:
    from matplotlib.figure import Figure

RESULTS, PAGES, SECTION, SUMS = "results.json", "record.pdf", "section.vtu", "SHA256SUMS"
OWN = {RESULTS, PAGES, SECTION, SUMS, "figures", "service"}
PLAIN_CASE = "case.toml"

Files = dict[str, bytes]


def write(
    results: Results, units: Units, out_dir: str, case_path: str, *, revolved: bool = False,
    progress: Progress = silent,
) -> Path:
    """Write one new folder in out_dir, named after the case file, and return its path.

    revolved: also the service load cases on a mesh turned about the axis. Raises OutputError, then
    nothing new is in out_dir; CaseError for a faulty press log; fem.MeshError or fem.SolveError where a
    position of the sleeve on its way in cannot be solved.
    """
    given = given_files(results, case_path)
    found = gather(results, units, progress)
    files = contents(found, given, revolved=revolved, progress=progress)
    progress("writing")
    where = write_record(Path(out_dir), Path(case_path).stem, files)
    progress("")
    return where


def given_files(results: Results, case_path: str) -> Files:
    """The case file, byte for byte, first; then the press log it names."""
    path, case = Path(case_path), results.case
    content = _read(path)
    if hashlib.sha256(content).hexdigest() != case.sha256:
        raise OutputError(f"{case_path}: changed while it was being checked; run it again")
    files = {case_name(path.name): content}
    if case.press.log:
        name = log_name(case.press.log)
        if name.split("/")[0].casefold() in {own.casefold() for own in OWN | set(files)}:
            raise OutputError(f"{case.press.log}: a file of the record has that name; give the log another")
        files[name] = _read(path.parent / case.press.log)
    return files


def case_name(name: str) -> str:
    """Name of the case file in the record: its own, unless that is taken or no name for every system."""
    taken = name.casefold() in {own.casefold() for own in OWN}
    return PLAIN_CASE if taken or not name.isprintable() or "\\" in name else name


def log_name(log: str) -> str:
    """Where the press log lies in the record: as the case file says, or beside it if that leads outside."""
    path = PurePosixPath(log.replace("\\", "/"))
    inside = not path.is_absolute() and ".." not in path.parts and ":" not in path.parts[0]
    return str(path) if inside else path.name


def contents(found: Gathered, given: Mapping[str, bytes], *, revolved: bool, progress: Progress) -> Files:
    """Every file of a record but its folder. given: as given_files returns it."""
    progress("drawing")
    svgs = drawn(found)
    whole = record_document(found)
    files: Files = {
        RESULTS: as_bytes(whole), **given, SECTION: section_vtu(found.results.study.nominal.free[0]),
        **figure_files(svgs),
    }
    if revolved:
        progress("turning the section about its axis")
        from hoopwright.record.revolved import revolved_vtus

        files |= revolved_vtus(found.results.study)
    progress("setting the pages")
    pages = record_pages(whole, hashes=hashes(files, (*given, RESULTS, SECTION)))
    return sealed({PAGES: pdf(pages, svgs), **files})


def figure_files(svgs: Mapping[str, str]) -> Files:
    pngs = png_of(svgs)
    return {f"figures/{name}.{kind}": data for name in svgs
            for kind, data in (("svg", svgs[name].encode("utf-8")), ("png", pngs[name]))}


def drawn(found: Gathered) -> dict[str, str]:
    """Every figure that has something to show, as SVG, by name."""
    from hoopwright.record.figures.style import rendered

    results, units = found.results, found.units
    figures: dict[str, Callable[[], Figure]] = {
        name: _bound(draw, results, units) for name, draw in figures_of(results).items()}
    if found.press is not None:
        figures["press"] = _bound(press_figure.figure, found.press, units)
    lands = (*results.case.shell_measured, *results.case.sleeve_measured)
    if lands:
        figures["readings"] = _bound(readings_figure.figure, lands, units)
    return {name: rendered(draw(), "svg").decode("utf-8") for name, draw in figures.items()}


def _bound(draw: Callable[..., Figure], *arguments: Any) -> Callable[[], Figure]:
    return lambda: draw(*arguments)


def hashes(files: Mapping[str, bytes], names: tuple[str, ...]) -> dict[str, str]:
    return {name: hashlib.sha256(files[name]).hexdigest() for name in names}


def sealed(files: Files) -> Files:
    """With the digests of all files, in the form that sha256sum reads."""
    found = hashes(files, tuple(sorted(files)))
    return files | {SUMS: "".join(f"{digest}  {name}\n" for name, digest in found.items()).encode("utf-8")}


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise OutputError(f"{path}: cannot be read for the record: {error.strerror or error}") from None
