"""What changed from one repair to another, as tables: verdicts, inputs, margins, rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.display.units import state_cell
from hoopwright.page.jobs import sides_of
from hoopwright.page.model import Bench, Order
from hoopwright.page.views.outputs import working
from hoopwright.page.views.words import capital, margin_shown, typeset

AS_IT_STANDS = "the case as it stands"
SHOWN_ALIKE = "by less than 0.01"


@dataclass(frozen=True)
class Line:
    """One line of a table: what, old and new; where, the stage of a margin or the table of an input."""

    what: str
    where: str
    old: str
    new: str


@dataclass(frozen=True)
class Difference:
    """A comparison. old, new: names of the sides. says: why it is not shown or is old, "" where it is of
    the files as they are. notes: what is wrong with a record. margins_note: of those that moved unseen."""

    old: str
    new: str
    says: str
    is_done: bool
    notes: tuple[str, ...] = ()
    verdicts: tuple[Line, ...] = ()
    inputs: tuple[Line, ...] = ()
    margins: tuple[Line, ...] = ()
    rows: tuple[Line, ...] = ()
    margins_note: str = ""


def difference_view(bench: Bench) -> tuple[Difference, ...]:
    """What was compared last."""
    orders = [one for one in bench.orders if one.command == "diff"]
    return tuple(_difference(bench, order) for order in orders[-1:])


def _difference(bench: Bench, order: Order) -> Difference:
    _, old, new = sides_of(order.about)
    new, found = new or AS_IT_STANDS, order.document
    if order.waits:
        return Difference(old, new, working(bench.at_work, order), False)
    if found is None:
        return Difference(old, new, f"Not compared. {capital(order.failed)}", False)
    says = "" if order.current else "Old: what was compared was changed since. Compare it again."
    seen = [cell for cell in found["margins"] if _judged(cell["old"]) != _judged(cell["new"])]
    unseen = len(found["margins"]) - len(seen)
    many = "margin" if unseen == 1 else "margins"
    return Difference(
        old,
        new,
        says,
        True,
        tuple(f"{side['name']}: {note}" for side in (found["a"], found["b"]) for note in side["notes"]),
        tuple(_verdicts(found)),
        tuple(
            Line(one["key"], one["table"], *(typeset(text) for text in one["shown"]))
            for one in found["inputs"]
        ),
        tuple(_cell(cell) for cell in seen),
        tuple(_cell(cell) for cell in (*found["new"], *found["lost"])),
        f"{unseen} {many} more moved {SHOWN_ALIKE}." if unseen else "",
    )


def _verdicts(found: Mapping[str, Any]) -> Iterator[Line]:
    state, verdict = found["state"], found["verdict"]
    yield Line("state", "", *(capital(state[side]) for side in ("old", "new")))
    if verdict["old"] == verdict["new"]:
        yield Line("verdict", "", typeset(verdict["old"]), "the same")
    else:
        yield Line("verdict", "", typeset(verdict["old"]), typeset(verdict["new"]))


def _cell(cell: Mapping[str, Any]) -> Line:
    return Line(capital(cell["title"]), cell["stage"], _judged(cell["old"]), _judged(cell["new"]))


def _judged(judgement: Mapping[str, Any] | None) -> str:
    """A margin with its state where that is not "holds"."""
    if judgement is None:
        return "not judged"
    margin, state = margin_shown(judgement["margin"]), judgement["state"]
    return margin if state == "holds" else f"{margin} {state_cell(state)}"
