"""One record: everything a run has to say, in one new folder."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.aside import aside
from hoopwright.record.document import as_bytes, record_document
from hoopwright.record.figures import figures_of
from hoopwright.record.figures import press as press_figure
from hoopwright.record.figures import readings as readings_figure
from hoopwright.record.figures.style import rendered
from hoopwright.record.folder import OutputError, write_record
from hoopwright.record.gather import Gathered, gather
from hoopwright.record.pages import record_pages
from hoopwright.record.parts import log_name
from hoopwright.record.pdf import pdf, png_of
from hoopwright.record.progress import Progress, silent
from hoopwright.record.vtu import section_vtu

RESULTS, PAGES, SECTION, SUMS = "results.json", "record.pdf", "section.vtu", "SHA256SUMS"
OWN = {RESULTS, PAGES, SECTION, SUMS, "figures", "service"}
PLAIN_CASE = "case.toml"

HERE = ("harmonics",)
"""Figures of the check that this process draws, once it has pressed the sleeve in: so many that both end at
about the same time."""

Files = dict[str, bytes]
Pictures = dict[str, bytes]
"""By name, without an ending."""


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
    with aside(lambda: pictures(results, units)) as drawing:
        found = gather(results, units, progress)
        progress("drawing")
        files = contents(found, given, drawing, revolved=revolved, progress=progress)
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


def contents(
    found: Gathered, given: Files, drawing: Iterator[Pictures], *, revolved: bool, progress: Progress
) -> Files:
    """Every file of a record but its folder. given: as given_files returns it; drawing: as pictures."""
    whole = record_document(found)
    files: Files = {RESULTS: as_bytes(whole), **given,
                    SECTION: section_vtu(found.results.study.nominal.free[0])}
    if revolved:
        from hoopwright.record.revolved import revolved_vtus

        files |= revolved_vtus(found.results.study)
    own = own_pictures(found)
    svgs = {**next(drawing), **own}
    progress("setting the pages")
    pages = record_pages(whole, hashes=hashes(files, (*given, RESULTS, SECTION)))
    with ThreadPoolExecutor(1) as beside:  # the typesetter leaves the interpreter free
        pngs = beside.submit(as_png, svgs)
        files[PAGES] = pdf(pages, {name: svg.decode("utf-8") for name, svg in svgs.items()})
        return sealed(files | figure_files(svgs, pngs.result()))


def figure_files(svgs: Pictures, pngs: Pictures) -> Files:
    return {f"figures/{name}.{kind}": data for kind, pictures_ in (("svg", svgs), ("png", pngs))
            for name, data in pictures_.items()}


def pictures(results: Results, units: Units) -> Iterator[Pictures]:
    """The figures that a second process draws, as SVG, at one go.

    Without the typesetter: its threads do not follow into a second process.
    """
    drawn = {name: draw(results, units) for name, draw in figures_of(results).items() if name not in HERE}
    lands = (*results.case.shell_measured, *results.case.sleeve_measured)
    if lands:
        drawn["readings"] = readings_figure.figure(lands, units)
    yield {name: rendered(figure, "svg") for name, figure in drawn.items()}


def own_pictures(found: Gathered) -> Pictures:
    """The others, and the force against travel where the sleeve can be pressed in."""
    drawn = {name: draw(found.results, found.units)
             for name, draw in figures_of(found.results).items() if name in HERE}
    if found.press is not None:
        drawn["press"] = press_figure.figure(found.press, found.units)
    return {name: rendered(figure, "svg") for name, figure in drawn.items()}


def as_png(svgs: Pictures) -> Pictures:
    return png_of({name: svg.decode("utf-8") for name, svg in svgs.items()})


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
