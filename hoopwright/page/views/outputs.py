"""What was made of a case: what can be made, what lies there, and what verifying a record found. What a
file says of itself is told as its word, never as the verdict of the page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal
from urllib.parse import quote

from hoopwright.page.jobs import MADE
from hoopwright.page.model import AtWork, Bench, Command, Order
from hoopwright.page.outputs import PaperOutput, RecordOutput
from hoopwright.page.views.words import capital, typeset
from hoopwright.record.file_names import PAGES, RESULTS, SUMS, safe_name
from hoopwright.version import VERSION

SHEET_NAME = "Shop sheet"
WHAT: dict[Command, tuple[str, str, str]] = {
    "sheet": (
        SHEET_NAME,
        "One page for the bench: order of work, sizes, cells for readings, stop lines, proof.",
        "Make the shop sheet",
    ),
    "drawing": (
        "Drawing",
        "The sleeve to make and the bore it goes into: one page PDF, and DXF.",
        "Make the drawing",
    ),
    "record": (
        "Record",
        "A folder: pages to print and sign, all results, figures, the case file, sealed by checksums.",
        "Make the record",
    ),
}
"""Name, what it is, and the words of its button."""
OF_NOW, OTHER_TEXT = "of the case as it stands", "of another text of a case of this name"
NOT_SEALED = "its results are not as they were sealed: verify it, and trust nothing in it"
NO_WORD = "of this case by its name; it does not say of which text"
STATES = {
    "holds": "Holds",
    "holds as far as judged": "Holds as far as judged",
    "undecided": "Undecided",
    "fails": "Fails",
    "contradicted": "Not to be used",
}
State = Literal["done", "old", "at work", "failed"]


@dataclass(frozen=True)
class Making:
    """Something that can be made, and what became of the last time it was asked for. state: "" where it was
    not. says: one line. links: addresses and names of what was made."""

    command: str
    name: str
    what: str
    button: str
    state: State | Literal[""] = ""
    says: str = ""
    links: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Verified:
    """What verifying a record found. look: its frame. lines: what the command says. open: they are
    shown."""

    id: str
    name: str
    look: str
    word: str
    says: str
    lines: tuple[str, ...]
    open: bool


@dataclass(frozen=True)
class RecordView:
    """A record in the list. says: its own verdict in a word, "" where it cannot be read. text: which text
    of which case it is of. files: address and name."""

    id: str
    name: str
    made: str
    says: str
    verdict: str
    text: str
    of_now: bool
    sealed: bool
    fault: str
    title: str
    pages: str
    files: tuple[tuple[str, str], ...]
    can_compare: bool
    verified: Verified | None


@dataclass(frozen=True)
class PaperView:
    """A sheet or a drawing in the list. files: address and name."""

    name: str
    made: str
    text: str
    of_now: bool
    files: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ListsView:
    """What lies in the folder: of this case, and of others."""

    records: tuple[RecordView, ...]
    papers: tuple[PaperView, ...]
    others: tuple[RecordView, ...]
    other_papers: tuple[PaperView, ...]


@dataclass(frozen=True)
class AfterCare:
    """Where proof and removal are read for the case as it stands: addresses, "" where nothing was made."""

    sheet: str
    pages: str


@dataclass(frozen=True)
class Choice:
    """Records that can be compared, those of this case first. case_too: the case as it stands can be."""

    names: tuple[str, ...]
    case_too: bool


# -- made --------------------------------------------------------------------------------------


def made_view(bench: Bench) -> tuple[Making, ...]:
    """Sheet, drawing and record."""
    return tuple(_making(bench, command) for command in MADE)


def _making(bench: Bench, command: Command) -> Making:
    order = next((one for one in reversed(bench.orders) if one.command == command), None)
    if order is None:
        return Making(command, *WHAT[command])
    found = order.document
    if order.waits:
        return Making(command, *WHAT[command], "at work", working(bench.at_work, order))
    if found is None:
        return Making(command, *WHAT[command], "failed", f"Not made. {capital(order.failed)}")
    if not order.current:
        why = "the case was changed since" if order.version != bench.version else "it is not there any more"
        return Making(command, *WHAT[command], "old", f"Made, but {why}. Make it again.")
    says = f"Made, {OF_NOW}. It says: {found['verdict']}"
    return Making(command, *WHAT[command], "done", typeset(says), tuple(_links(command, found["files"])))


def _links(command: Command, files: list[str]) -> Iterator[tuple[str, str]]:
    for name in files:
        yield (record_address(name, PAGES), f"{name}/{PAGES}") if command == "record" else paper_link(name)


def working(at_work: AtWork | None, order: Order) -> str:
    """How far an order is."""
    if at_work is None or (at_work.command, at_work.about) != (order.command, order.about):
        return "Waits for its turn."
    count = f": {at_work.done} of {at_work.of}" if at_work.of else ""
    return f"At work: {at_work.row or 'begun'}{count}."


# -- listed ------------------------------------------------------------------------------------


def lists_view(bench: Bench) -> ListsView:
    """Records, drawings and sheets, the newest first."""
    records = [(one, _is_of_case(bench, one)) for one in bench.outputs.records]
    papers = [(one, _is_paper_of_case(bench, one)) for one in bench.outputs.papers]
    return ListsView(
        tuple(_record(bench, one, True) for one, own in records if own),
        tuple(_paper(bench, one, True) for one, own in papers if own),
        tuple(_record(bench, one, False) for one, own in records if not own),
        tuple(_paper(bench, one, False) for one, own in papers if not own),
    )


def is_of_now(bench: Bench, one: RecordOutput) -> bool:
    """Whether a record says that it is of the case as it stands, with its press log and its materials."""
    case = bench.case
    if case is None or one.fault or one.is_comparison or not one.sealed:
        return False
    log = "" if bench.log is None else bench.log.digest
    materials = "" if case.materials_file is None else case.materials_file.sha256
    return (one.sha256, one.log, one.materials) == (bench.digest, log, materials)


def _is_of_case(bench: Bench, one: RecordOutput) -> bool:
    """By the text of its case, by the name of its case file, or where it tells neither, by its own."""
    if one.fault:
        return one.name.rpartition("-")[0] == _stem(bench)
    return one.sha256 == bench.digest or one.case_file == bench.file


def _is_paper_of_case(bench: Bench, one: PaperOutput) -> bool:
    return one.sha256 == bench.digest or one.stem == _stem(bench) or _numbered(one.stem) == _stem(bench)


def _numbered(stem: str) -> str:
    """The stem of a drawing without its number."""
    name, _, number = stem.rpartition("-")
    return name if number.isdigit() and len(number) >= 3 else stem


def _stem(bench: Bench) -> str:
    return safe_name(Path(bench.file).stem)


def _record(bench: Bench, one: RecordOutput, own: bool) -> RecordView:
    of_now = is_of_now(bench, one)
    text = OF_NOW if of_now else OTHER_TEXT if own else "of another case"
    if not one.sealed and not one.fault:
        text = NOT_SEALED
    elif own and one.sha256 == bench.digest and not of_now:
        text = "of this case file, with another press log or other materials"
    if one.is_comparison:
        text = f"a comparison of routes, {text.replace(OF_NOW, 'of this case')}"
    if one.version and one.version != VERSION:
        text += f"; made by version {one.version}, this is {VERSION}"
    files = tuple((record_address(one.name, name), name) for name in _listed(one))
    says = "" if one.fault or not one.sealed else STATES.get(one.state, one.state or "says no verdict")
    sample = "Sample values: " if one.verdict.startswith("Sample values") and says else ""
    return RecordView(
        id=id_of(one.name),
        name=one.name,
        made=when(one.made),
        says=f"{sample}{says.lower() if sample else says}",
        verdict=typeset(one.verdict) if one.sealed else "",
        text="" if one.fault else text,
        of_now=of_now,
        sealed=one.sealed or bool(one.fault),
        fault=one.fault,
        title=one.title,
        pages=record_address(one.name, PAGES) if any(name == PAGES for _, name in files) else "",
        files=files,
        can_compare=not one.fault and not one.is_comparison,
        verified=next((v for v in verified_view(bench) if v.name == one.name), None),
    )


def _listed(one: RecordOutput) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one.files, SUMS))) if one.files else (RESULTS,)


def _paper(bench: Bench, one: PaperOutput, own: bool) -> PaperView:
    of_text = one.sha256 == bench.digest
    text = "of another case" if not own else OTHER_TEXT if one.sha256 else NO_WORD
    beside = _beside(bench)
    if of_text:
        text = "of the case file as it stands" + (
            f"; whether with {beside} as they are now, it does not say" if beside else ""
        )
    name = SHEET_NAME if one.kind == "sheet" else "Drawing"
    return PaperView(name, when(one.made), text, of_text and not beside, tuple(map(paper_link, one.files)))


def _beside(bench: Bench) -> str:
    """What a case counts beside its own text, which no sheet or drawing names."""
    read = "" if bench.log is None else "the readings of the press"
    return " and ".join(part for part in (read, "the materials" if bench.materials else "") if part)


def paper_link(name: str) -> tuple[str, str]:
    """Address and name of a sheet or a drawing."""
    return f"/paper/{quote(name, safe='')}", name


def record_address(record: str, name: str) -> str:
    return f"/record/{quote(record, safe='')}/{quote(name)}"


def when(seconds: float) -> str:
    """When something was made, by the clock of this machine."""
    return f"{datetime.fromtimestamp(seconds):%Y-%m-%d %H:%M}"


def after_care(lists: ListsView) -> AfterCare:
    """The newest sheet and record of the case as it stands."""
    sheets = [one.files[0][0] for one in lists.papers if one.of_now and one.name == SHEET_NAME]
    pages = [one.pages for one in lists.records if one.of_now and one.pages]
    return AfterCare(next(iter(sheets), ""), next(iter(pages), ""))


# -- verified ----------------------------------------------------------------------------------


def verified_view(bench: Bench) -> tuple[Verified, ...]:
    """What was verified, the last one first."""
    orders = [one for one in reversed(bench.orders) if one.command == "verify"]
    return tuple(_verified(bench, order, first=k == 0) for k, order in enumerate(orders))


def _verified(bench: Bench, order: Order, *, first: bool) -> Verified:
    look, word, says = _found(bench, order)
    lines = () if order.document is None else tuple(map(typeset, order.document["lines"]))
    shown = first and look in ("holds", "fails")
    return Verified(id_of(order.about), order.about, look, word, says, lines, shown)


def _found(bench: Bench, order: Order) -> tuple[str, str, str]:
    """Frame, word and sentence."""
    if order.waits:
        return "old", "Being verified", working(bench.at_work, order)
    if order.document is None:
        return "old", "Not verified", capital(order.failed)
    if not order.current:
        return "old", "Verified before", "It was changed since. Verify it again."
    if order.document["holds"]:
        return "holds", "Reproduced", "Every number is reproduced, and its files are as they were sealed."
    return "fails", "Not reproduced", "It is not what was written, or not what its case gives."


def id_of(record: str) -> str:
    """A part of an id for a record of any name."""
    return quote(record, safe="")


def compared_view(bench: Bench) -> Choice:
    """What can be compared: of this case first."""
    can = [one for one in bench.outputs.records if not one.fault and not one.is_comparison]
    own = [one.name for one in can if _is_of_case(bench, one)]
    others = [one.name for one in can if not _is_of_case(bench, one)]
    return Choice((*own, *others), bench.case is not None)
