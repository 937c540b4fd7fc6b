"""Write the record of a repair: results, pages, figures and inputs in one new folder."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.errors import OutputError
from hoopwright.pipeline import Results
from hoopwright.record.atomic_write import write_record
from hoopwright.record.case_inputs import log_name
from hoopwright.record.document import as_bytes, record_document
from hoopwright.record.figures import figures_of
from hoopwright.record.figures import press as press_figure
from hoopwright.record.figures import readings as readings_figure
from hoopwright.record.figures.labelled_svg import labelled
from hoopwright.record.figures.style import rendered
from hoopwright.record.file_names import PAGES, RESERVED_NAMES, RESULTS, SECTION, SUMS, case_name
from hoopwright.record.file_set import figure_file, with_file_set
from hoopwright.record.gather import Gathered, gather, window_of_results
from hoopwright.record.pages import record_pages
from hoopwright.record.pages.descriptions import descriptions
from hoopwright.record.pdf import pdf, png_from_svg
from hoopwright.record.progress import Progress, silent
from hoopwright.record.vtu import section_vtu
from hoopwright.record.worker import in_worker
from hoopwright.sizing.window import Window

Files = dict[str, bytes]
RenderedFigures = dict[str, bytes]
"""File contents by figure name, without extension."""


def write_repair_record(
    results: Results,
    units: Units,
    out_dir: str,
    case_path: str,
    *,
    revolved: bool = False,
    progress: Progress = silent,
) -> Path:
    """Write one new folder in out_dir, named after the case file, and return its path.

    revolved: also write the service load cases on the mesh revolved about the axis. Raises OutputError and
    then leaves nothing behind in out_dir; CaseError for a faulty press log; fem.MeshError or
    fem.SolveError where a position of the sleeve on its way in cannot be meshed or solved.
    """
    given = input_files(results, case_path)
    with in_worker(lambda: _window(results, units)) as windows:
        progress("drawing")
        plotted = figures_of_check(results, units)
        meshes = files_of_meshes(results, revolved=revolved)
        found = gather(results, units, progress, lambda: next(windows))
    plotted |= figure_of_pressing(found)
    files = contents(found, given, meshes, plotted, progress=progress)
    require_same_log(results.case, case_path, given)
    progress("writing")
    where = write_record(Path(out_dir), Path(case_path).stem, files)
    progress("")
    return where


def _window(results: Results, units: Units) -> Iterator[Window]:
    """The window of interference, searched when it is asked for: without a worker, after all that its
    search would leave in another state."""
    yield window_of_results(results, units)


def input_files(results: Results, case_path: str) -> Files:
    """The case file byte for byte, then the file of materials and the press log it names.

    Raises OutputError where a file cannot be read, the case file or the materials changed since they were
    checked, or a file bears a name that the record uses itself.
    """
    path, case = Path(case_path), results.case
    files = case_files(path, case)
    if case.press.log:
        name = log_name(case.press.log)
        _refuse_name(name, files, "rename the log")
        files[name] = _read(path.parent / case.press.log)
    return files


def require_same_log(case: Case, case_path: str, given: Files) -> None:
    """Raise OutputError where a reading was added to the press log since it was taken into the record: what
    was computed from it is then of one log, and the record would hold another."""
    if case.press.log:
        path = Path(case_path).parent / case.press.log
        _unchanged(path, hashlib.sha256(given[log_name(case.press.log)]).hexdigest())


def case_files(path: Path, case: Case) -> Files:
    """The case file byte for byte, then the file of materials that it names. Raises OutputError where one
    cannot be read or is no longer the one that was solved."""
    files = {case_name(path.name): _unchanged(path, case.sha256)}
    beside = case.materials_file
    if beside is not None:
        _refuse_name(beside.name, files, "rename the file of materials")
        files[beside.name] = _unchanged(path.parent / beside.name, beside.sha256)
    return files


def _refuse_name(name: str, files: Files, advice: str) -> None:
    """Raise OutputError for a name that the record uses itself."""
    if name.split("/")[0].casefold() in {own.casefold() for own in RESERVED_NAMES | set(files)}:
        raise OutputError.at(name, "the record uses that name itself", advice)


def _unchanged(path: Path, sha256: str) -> bytes:
    """The file, which must be the one that was solved."""
    content = _read(path)
    if hashlib.sha256(content).hexdigest() != sha256:
        raise OutputError.at(path, "changed while it was being solved", "run it again")
    return content


def contents(
    found: Gathered,
    given: Files,
    meshes: Files,
    plotted: RenderedFigures,
    *,
    progress: Progress,
) -> Files:
    """All files of a record by path. given: from input_files, the case first; meshes: from files_of_meshes;
    plotted: the figures as SVG."""
    revolved = len(meshes) > 1
    whole = with_file_set(record_document(found), next(iter(given)), revolved=revolved)
    files: Files = {RESULTS: as_bytes(whole), **given, **meshes}
    svgs = with_words(plotted, whole)
    progress("typesetting the pages")
    pages = record_pages(whole, hashes=hashes(files, (*given, RESULTS, SECTION)))
    with ThreadPoolExecutor(1) as pool:  # the typesetter releases the GIL
        pngs = pool.submit(as_png, svgs)
        files[PAGES] = pdf(pages, {name: svg.decode("utf-8") for name, svg in svgs.items()})
        return sealed(files | figures_by_path(svgs, pngs.result()), whole["files"])


def files_of_meshes(results: Results, *, revolved: bool) -> Files:
    """The meshes with their results. revolved: also the load cases on the mesh revolved about the axis."""
    meshes = {SECTION: section_vtu(results.study)}
    if revolved:
        from hoopwright.record.revolved import revolved_vtus

        meshes |= revolved_vtus(results.study)
    return meshes


def with_words(svgs: RenderedFigures, document: Mapping[str, Any]) -> RenderedFigures:
    """The figures with the title and the description that the document gives them, and ids of their own."""
    said = descriptions(dict(document), Units(document["record"]["shown_in"]))
    return {
        name: labelled(svg, name, title=said[name][0], description=said[name][1])
        for name, svg in svgs.items()
    }


def figures_by_path(svgs: RenderedFigures, pngs: RenderedFigures) -> Files:
    """The figures under their paths in the record, e.g. "figures/wall.svg"."""
    return {
        figure_file(name, kind): data
        for kind, images in (("svg", svgs), ("png", pngs))
        for name, data in images.items()
    }


def figures_of_check(results: Results, units: Units) -> RenderedFigures:
    """The figures of what was checked, as SVG, and those of the readings it rests on."""
    plotted = {
        name: rendered(make_figure(results, units), "svg")
        for name, make_figure in figures_of(results).items()
    }
    lands = (*results.case.shell_measured, *results.case.sleeve_measured)
    if lands:
        plotted["readings"] = rendered(readings_figure.figure(lands, units), "svg")
    return plotted


def figure_of_pressing(found: Gathered) -> RenderedFigures:
    """Force against travel as SVG, where the sleeve is pressed in."""
    plan = found.press
    if plan is None or plan.force_travel is None:
        return {}
    return {"press": rendered(press_figure.figure(plan.force_travel, plan.readings, found.units), "svg")}


def as_png(svgs: RenderedFigures) -> RenderedFigures:
    """The same figures as PNG."""
    return png_from_svg({name: svg.decode("utf-8") for name, svg in svgs.items()})


def hashes(files: Mapping[str, bytes], names: tuple[str, ...]) -> dict[str, str]:
    """SHA-256 of the named files, in hexadecimal."""
    return {name: hashlib.sha256(files[name]).hexdigest() for name in names}


def sealed(files: Files, names: Sequence[str]) -> Files:
    """The files and their checksums, in the format of sha256sum. names: the fixed set of the record, which
    the files must be; ValueError where they are not."""
    if set(files) != set(names):
        raise ValueError(f"not the files of this record: {sorted(set(files) ^ set(names))}")
    found = hashes(files, tuple(sorted(files)))
    return files | {SUMS: "".join(f"{digest}  {name}\n" for name, digest in found.items()).encode("utf-8")}


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        problem = f"cannot be read for the record: {error.strerror or error}"
        raise OutputError.at(path, problem) from None
