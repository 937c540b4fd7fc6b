"""What the process that solves does when a button asks: sheet, drawing and record made, a record verified,
two repairs compared. It is in the folder that is served; what it makes is written there, whole or not at
all."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from hashlib import sha256
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from hoopwright.display import Units
from hoopwright.errors import Fault, HoopwrightError, OutputError, RecordError
from hoopwright.interface.solving import solving
from hoopwright.page.model import Command, Document
from hoopwright.page.outputs import OutputFolder
from hoopwright.page.questions import Progress, Question, case_of

if TYPE_CHECKING:
    from hoopwright.case.model import Case

MADE: tuple[Command, ...] = ("sheet", "drawing", "record")
"""Commands that write files of a case; they are about the units of what they make."""
HERE = "."
Job = Callable[[Question, Progress], Document]


def about_sides(units: str, old: str, new: str) -> str:
    """What a comparison is about: two records by name, new: "" for the case as it stands."""
    return "\n".join((units, old, new))


def sides_of(about: str) -> tuple[str, str, str]:
    """The same back: units, old, new."""
    units, old, new = about.split("\n")
    return units, old, new


def _sheet(question: Question, progress: Progress) -> Document:
    from hoopwright.interface.results import sheet_of
    from hoopwright.pipeline import check_case
    from hoopwright.record.gather import gather

    case = replace(case_of(question), units=question.about)
    same = _same_log(case)
    with _in_this_folder(), solving(case.file):
        found = gather(check_case(case, progress), Units(case.units), _in_words(progress))
        made = sheet_of(found.sheet)
        progress("typesetting the sheet", 0, 0)
        same()
        where = made.write(HERE)
    return {"files": [where.name], "state": made.state, "verdict": made.verdict}


def _drawing(question: Question, progress: Progress) -> Document:
    from hoopwright.drawing.files import Drawing, write_drawing
    from hoopwright.drawing.needed import require_packages

    require_packages()
    case, units = case_of(question), Units(question.about)
    progress("finding the sizes to cut to", 0, 0)
    same = _same_log(case)
    with _in_this_folder(), solving(case.file):
        made = Drawing.of(replace(case, units=units.system), units)
        progress("drawing", 0, 0)
        same()
        written = write_drawing(made, Path(HERE), _next_stem(Path(case.file).stem))
    content = made.content
    return {"files": [path.name for path in written], "state": content.state, "verdict": content.verdict}


def _next_stem(stem: str) -> str:
    """Of a drawing whose name is not taken: the first is named after the case alone."""
    from hoopwright.drawing.files import file_paths

    names = (stem if number == 1 else f"{stem}-{number:03d}" for number in count(1))
    return next(name for name in names if not any(path.exists() for path in file_paths(Path(HERE), name)))


def _record(question: Question, progress: Progress) -> Document:
    from hoopwright.pipeline import check_case
    from hoopwright.record.files import write_repair_record
    from hoopwright.verdict import verdict, verdict_state

    case, units = case_of(question), Units(question.about)
    same = _same_log(case)
    with _in_this_folder(), solving(case.file):
        results = check_case(case, progress)
        same()  # the record holds it against what it takes in
        where = write_repair_record(results, units, HERE, question.file, progress=_in_words(progress))
    return {"files": [where.name], "state": verdict_state(results), "verdict": verdict(results)}


def _verify(question: Question, progress: Progress) -> Document:
    from hoopwright.record.verify import verify
    from hoopwright.record.verify_document import document
    from hoopwright.screen.verify import report

    folder, name = _records(), question.about
    stamp = _stamp(folder, name)
    with solving(name):
        found = verify(Path(name), _in_words(progress))
    return {**document(found), "lines": report(found).splitlines(), "stamps": {name: stamp}}


def _diff(question: Question, progress: Progress) -> Document:
    from hoopwright.diff.report import difference
    from hoopwright.diff.sides import read_side, side_of

    units, *names = sides_of(question.about)
    folder, sides, stamps = _records(), [], {}
    for name in names:
        progress(f"reading {name}" if name else "checking the case", 0, 0)
        with solving(name or question.file):
            if name:
                stamps[name] = _stamp(folder, name)
                sides.append(read_side(name))
            else:
                sides.append(side_of(case_of(question), question.text))
    old, new = sides
    return {**difference(old, new, Units(units)), "stamps": stamps}


def _records() -> OutputFolder:
    return OutputFolder(Path(HERE))


def _stamp(folder: OutputFolder, name: str) -> str:
    """The stamp of a record that may be read. Raises RecordError for what is none, or leads elsewhere."""
    stamp = folder.stamp(name)
    if not stamp:
        raise RecordError.at(name, "no record in the folder that the page serves")
    if folder.leads_outside(name):
        problem = "a link in place of a file leads out of the record: it is not what was written"
        raise RecordError.at(name, problem)
    return stamp


def _in_words(progress: Progress) -> Callable[[str], None]:
    """Progress that is told in words; the last of them are none."""

    def say(what: str) -> None:
        if what:
            progress(what, 0, 0)

    return say


def _same_log(case: Case) -> Callable[[], None]:
    """What raises OutputError where a reading was added to the press log since: readings are taken at the
    press while this works, and it is of the log that it was asked for."""

    def digest() -> str:
        with suppress(OSError):
            return sha256(Path(HERE, case.press.log).read_bytes()).hexdigest()
        return ""

    begun = digest() if case.press.log else ""

    def same() -> None:
        if case.press.log and digest() != begun:
            raise OutputError.at(case.press.log, "changed while it was being solved", "ask again")

    return same


@contextmanager
def _in_this_folder() -> Iterator[None]:
    """Faults that name the folder in words, as its place is not the page's to show."""
    try:
        yield
    except HoopwrightError as error:
        renamed = (
            Fault("the folder", f.table, f.key, f.problem, f.advice, f.given) if f.file == HERE else f
            for f in error.faults
        )
        raise type(error)(tuple(renamed)) from None


JOBS: dict[Command, Job] = {
    "sheet": _sheet,
    "drawing": _drawing,
    "record": _record,
    "verify": _verify,
    "diff": _diff,
}
