"""The verdict as the page says it: never more certain than its rows, its sizes, or what was read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from markupsafe import Markup

from hoopwright.display.rows import Row, in_order_of
from hoopwright.page.figures.marks import hoop
from hoopwright.page.model import AtWork, Bench, Command, Document
from hoopwright.page.views import at_the_press
from hoopwright.page.views.rows import ACCEPTED, numbers_of
from hoopwright.page.views.words import capital, margin_shown, typeset
from hoopwright.suspected import doubt_of, said_first

State = Literal["holds", "part", "undecided", "contradicted", "fails", "old", "unjudged"]
WORDS: dict[State, str] = {
    "holds": "Holds",
    "part": "Holds as far as judged",
    "undecided": "Undecided",
    "contradicted": "Undecided",
    "fails": "Fails",
    "old": "Old sizes",
    "unjudged": "Not judged yet",
}
OPENINGS: dict[State, tuple[str, ...]] = {
    "holds": ("Holds: ",),
    "part": ("Holds as far as judged: ", "Holds as far as judged."),
    "undecided": ("Undecided: ",),
    "contradicted": ("Undecided: ", "Not to be used: "),
    "fails": ("Do not cut: ", "Do not press: "),
}
"""How the verdict of a check begins, behind what it rests on."""
INSTRUCTIONS = ("Do not cut: ", "Do not press: ", "Not to be used: ")
"""Of these, those that say more than the word of the state."""
SAMPLE = "Sample values"
READ_OTHERWISE = "what was read at the press contradicts the sizes and the friction given"
"""The doubt on every row where a press log contradicts the case."""
HOLDING = ("pushed_out", "turned", "slips_combined")
"""Of these one must be judged before anything holds."""
WANTED = (
    ("no range of temperature in use is given", "Give the temperatures"),
    ("no service load is given", "Say who uses it"),
    ("nothing is given that the fit must hold", "Say what it must hold"),
)
"""What may have been left out that step "use" asks for, and the link to it."""
ORDERS: dict[Command, str] = {
    "sheet": "Making the shop sheet.",
    "drawing": "Making the drawing.",
    "record": "Making the record.",
    "verify": "Verifying a record.",
    "diff": "Comparing.",
}
SHOWN_FAULTS = 3


@dataclass(frozen=True)
class Link:
    text: str
    url: str


SEE_THE_PRESS = Link("See the press", "press")


@dataclass(frozen=True)
class VerdictView:
    """What the banner says.

    grounds: what it rests on that is not the user's own, "" where all is. lines: sentences, one a line.
    least: the least margin, "" where none is to be shown. busy: something is being computed, and can be
    cancelled.
    """

    state: State
    word: str
    grounds: str
    lines: tuple[str, ...]
    least: str
    links: tuple[Link, ...]
    busy: bool
    hoop: Markup


def verdict_view(bench: Bench) -> VerdictView:
    """The verdict on the case as its file stands now."""
    found = bench.answer("check")
    if found is None:
        return _made("unjudged", (*_in_doubt(bench), *_not_judged(bench)), bench)
    if not bench.is_current("check") or bench.faults:
        return _made("old", (*_in_doubt(bench), *_old(bench, found)), bench, least=_least(found["checks"]))
    return _of_document(bench, in_order_of(bench.units, found))


def _made(
    state: State,
    lines: Sequence[str],
    bench: Bench,
    *,
    word: str = "",
    grounds: str = "",
    least: str = "",
    links: tuple[Link, ...] = (),
) -> VerdictView:
    return VerdictView(
        state,
        word or WORDS[state],
        typeset(grounds),
        tuple(typeset(line) for line in lines if line),
        least,
        links,
        bench.at_work is not None,
        hoop(state),
    )


def _of_document(bench: Bench, found: Document) -> VerdictView:
    sample = _is_sample(bench, found)
    state = _state(found, sample)
    grounds, sentence = _sentence(found["verdict"], state)
    word = WORDS[state]
    if sample:
        word = f"{SAMPLE}: {word[0].lower()}{word[1:]}"
        grounds = grounds.removeprefix(SAMPLE).removeprefix(" and ")
    doubt = at_the_press.doubt_of(bench)
    if doubt and state in ("holds", "part", "undecided"):
        return _made("undecided", (doubt,), bench, links=(SEE_THE_PRESS,))
    failed = f"The last question has no answer: {bench.failed}" if bench.failed else ""
    return _made(
        state,
        (sentence, _not_judged_rows(found["checks"]) if state in ("holds", "part") else "", failed),
        bench,
        word=word,
        grounds=capital(grounds),
        least="" if state == "contradicted" else _least(found["checks"]),
        links=_links(found, state),
    )


def _is_sample(bench: Bench, found: Document) -> bool:
    return found["verdict"].startswith(SAMPLE) or (bench.case is not None and bench.case.sample)


def _state(found: Document, sample: bool) -> State:
    """The state of the document, or a worse one that its rows show."""
    cells = [cell for row in found["checks"] for cell in (row, *row["cells"])]
    states, doubts = {cell["state"] for cell in cells}, {cell["doubt"] for cell in cells}
    if found["state"] == "contradicted" or found["closed_form"]["agrees"] is False:
        return "contradicted"
    if found["state"] == "fails" or "fails" in states:
        return "fails"
    if READ_OTHERWISE in doubts:
        return "contradicted"
    if "unresolved" in states or any(doubts) or found["state"] == "undecided":
        return "undecided"
    if found["state"] == "holds" and not sample and not _lacks_what_is_needed(found["checks"]):
        return "holds"
    return "part" if found["state"] in ("holds", "holds as far as judged") else "undecided"


def _lacks_what_is_needed(rows: Sequence[Row]) -> bool:
    """Whether nothing was judged that the fit must hold, or fatigue was not under loads that repeat."""
    judged = {row["id"] for row in rows if row["state"] != "not assessed"}
    fatigue = any("_fatigue_" in row["id"] and row["id"] not in judged for row in rows)
    return fatigue or judged.isdisjoint(HOLDING)


def _not_judged_rows(rows: Sequence[Row]) -> str:
    """The rows without a margin that the case does not accept, by number and name; "" for none."""
    numbers = numbers_of(rows)
    found = sorted(
        (numbers[row["id"]], row["title"])
        for row in rows
        if row["state"] == "not assessed" and not row["note"].startswith(ACCEPTED)
    )
    return f"Not judged: {', '.join(f'{number} {title}' for number, title in found)}." if found else ""


def _sentence(verdict: str, state: State) -> tuple[str, str]:
    """What the verdict rests on, and its sentences without the word that stands above them."""
    for opening in OPENINGS[state]:
        before, at, rest = verdict.partition(opening)
        if at and (not before or before.endswith(": ")):
            said = f"{opening}{rest}" if opening in INSTRUCTIONS else capital(rest.strip())
            return before.removesuffix(": "), said
    return "", f"The rows below say otherwise than the verdict of the check: {verdict}"


def _least(rows: Sequence[Row]) -> str:
    """The least margin of all rows; "" where none was judged."""
    margins = [row["margin"] for row in rows if row["margin"] is not None]
    return margin_shown(min(margins)) if margins else ""


def _links(found: Document, state: State) -> tuple[Link, ...]:
    if READ_OTHERWISE in {row["doubt"] for row in found["checks"]}:
        return (SEE_THE_PRESS,)
    if state == "part":
        return tuple(Link(text, "use") for clause, text in WANTED if clause in found["verdict"])
    return ()


def _in_doubt(bench: Bench) -> tuple[str, ...]:
    """What the sizes already say against any answer: a reading that stands out, beyond what is judged."""
    if bench.case is None or not doubt_of(bench.case):
        return ()
    return (f"{bench.units.first(said_first(bench.case))}. Nothing holds until it is settled.",)


def _not_judged(bench: Bench) -> tuple[str, ...]:
    if bench.faults:
        return _faults(bench)
    if bench.at_work is not None:
        return (_working(bench.at_work, {}),)
    return (f"No answer: {bench.failed}" if bench.failed else "Nothing was computed yet for this case.",)


def _old(bench: Bench, found: Document) -> tuple[str, ...]:
    at = bench.units.text(found["fit"]["diametral_interference_um"]["nominal"], "um")
    lines = [f"These answers are for the file as it was, with a fit of {at}."]
    if bench.faults:
        return (*lines, *_faults(bench))
    if bench.at_work is not None:
        rows = found["checks"]
        titles = {row["title"]: numbers_of(rows)[row["id"]] for row in rows}
        return (f"{lines[0]} {_working(bench.at_work, titles)}",)
    return (*lines, f"No answer for it as it is: {bench.failed}" if bench.failed else "")


def _working(at_work: AtWork, numbers: dict[str, int]) -> str:
    """What is being computed, by the number of the row where it has one."""
    if at_work.command in ORDERS:
        return ORDERS[at_work.command]
    if not at_work.row:
        return "Working."
    number = numbers.get(at_work.row)
    row = f"row {number}, {at_work.row}" if number is not None else at_work.row
    count = f": {at_work.done} of {at_work.of}" if at_work.of else ""
    return f"Working on {row}{count}."


def _faults(bench: Bench) -> tuple[str, ...]:
    """The faults of the file in the words of the command line, without its name."""
    shown: list[Any] = [str(replace(fault, file="")) for fault in bench.faults[:SHOWN_FAULTS]]
    more = len(bench.faults) - len(shown)
    one = len(bench.faults) == 1
    head = (
        "One entry keeps it from being judged:"
        if one
        else f"{len(bench.faults)} entries keep it from being judged:"
    )
    return (head, *shown, f"and {more} more" if more > 0 else "")
