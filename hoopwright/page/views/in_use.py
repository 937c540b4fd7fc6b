"""What happens after pressing: each row of it at its worst, and which moments those are."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.display.rows import Row, in_order_of, place_text, when_text
from hoopwright.page.figures.marks import cell_bar
from hoopwright.page.model import Bench, Document
from hoopwright.page.views.rows import MARKS, NO_BAR, Cell, numbers_of, rows_view
from hoopwright.page.views.words import capital, margin_shown, typeset

AFTER = ("cups", "in use", "oven")
"""Stages of the joint's life behind pressing."""
IN_USE = "in use"
NO_LOAD = "no load"
_INSTANT = re.compile(r" at \d+°$")


@dataclass(frozen=True)
class AfterRow:
    """A row behind pressing, at the stage with its least margin there.

    cell: as the table has it. moment, place: the worst, in words. others: its other stages behind pressing,
    each with its margin. why: what it lacks, or why it is in doubt. address: of the row on the step Fit.
    """

    id: str
    number: int
    title: str
    stage: str
    cell: Cell
    moment: str
    place: str
    others: tuple[tuple[str, str], ...]
    why: str
    address: str
    governs: bool


def after_rows(bench: Bench, found: Document, *, current: bool) -> tuple[AfterRow, ...]:
    """The rows that are judged behind pressing, what fails first and then the least margin; those that are
    not judged last."""
    rows = in_order_of(bench.units, found["checks"])
    table = rows_view(found, bench.units, current=current, live=False, case=bench.case)
    cells = {(c.row, c.stage): c for group in table.groups for row in group.rows for c in row.cells}
    numbers = numbers_of(rows)
    judged = [made for row in rows if (made := _judged(row, cells, numbers, bench.units)) is not None]
    judged.sort(key=lambda pair: pair[0])
    left = (
        _unjudged(row, cells, numbers)
        for row in rows
        if row["state"] == "not assessed" and set(row["stages"]) & set(AFTER)
    )
    return (*(made for _, made in judged), *left)


def _judged(
    row: Row, cells: Mapping[tuple[str, str], Cell], numbers: Mapping[str, int], units: Units
) -> tuple[tuple[bool, float], AfterRow] | None:
    """The row with what it is ordered by; None where it is not judged behind pressing."""
    found = sorted((c for c in row["cells"] if c["where"]["stage"] in AFTER), key=_severity)
    if not found:
        return None
    worst, stage = found[0], found[0]["where"]["stage"]
    where = worst["where"]
    others = tuple((c["where"]["stage"], margin_shown(c["margin"])) for c in found[1:])
    made = AfterRow(
        row["id"],
        numbers[row["id"]],
        capital(row["title"]),
        stage,
        cells[row["id"], stage],
        typeset(when_text(where, units)),
        typeset(place_text(where, units)),
        others,
        typeset(worst["doubt"]),
        fit_address(row["id"], stage),
        cells[row["id"], stage].governs,
    )
    return _severity(worst), made


def _unjudged(row: Row, cells: Mapping[tuple[str, str], Cell], numbers: Mapping[str, int]) -> AfterRow:
    stage = next(stage for stage in (IN_USE, *AFTER) if stage in row["stages"])
    why = typeset(row["note"] or "the case lacks the input to judge it")
    id_, title = row["id"], capital(row["title"])
    return AfterRow(
        id_, numbers[id_], title, stage, cells[id_, stage], "", "", (), why, fit_address(id_, stage), False
    )


def _severity(cell: Row) -> tuple[bool, float]:
    margin = cell["margin"]
    return cell["state"] != "fails", float("inf") if margin is None else float(margin)


def fit_address(row: str, stage: str) -> str:
    """The address of a row opened at a stage on the step Fit, relative to the pages of the case."""
    return f"fit?{urlencode({'row': row, 'at': stage})}#row-{row}"


@dataclass(frozen=True)
class MomentCell:
    """A load case at a temperature.

    rows: numbers of the rows whose worst moment in use it is. text, mark, bar: the margin against yield
    then, with who it is of; "" where no map has it. url: of its map. chosen: it is shown.
    """

    rows: tuple[int, ...] = ()
    text: str = ""
    mark: str = ""
    of: str = ""
    bar: Markup = NO_BAR
    url: str = ""
    chosen: bool = False

    @property
    def is_empty(self) -> bool:
        return not self.rows and not self.text


@dataclass(frozen=True)
class MomentRow:
    load_case: str
    cells: tuple[MomentCell, ...]


@dataclass(frozen=True)
class Moments:
    """Load cases × temperatures. temperatures: in words; rows without one: `anytime`, their numbers."""

    temperatures: tuple[str, ...] = ()
    rows: tuple[MomentRow, ...] = ()
    anytime: tuple[int, ...] = ()
    with_maps: bool = False


def moments_view(
    bench: Bench, found: Document, maps: Document | None, chosen: str, *, current: bool
) -> Moments:
    """Which moment of use each row is worst in, with its margin against yield where there are maps of it.

    chosen: id of the moment that is mapped.
    """
    governed: dict[tuple[str, float], list[int]] = {}
    anytime = []
    numbers = numbers_of(found["checks"])
    for number, state in _states(found["checks"], numbers):
        if state["temperature_degC"] is None:
            anytime.append(number)
        else:
            governed.setdefault(_key(state), []).append(number)
    mapped = _mapped(maps) if maps is not None and current else {}
    keys = {*governed, *mapped}
    temperatures = sorted({degrees for _, degrees in keys})
    loads = sorted({load for load, _ in keys}, key=lambda load: (load == "", load))
    return Moments(
        tuple(typeset(bench.units.temperature(t)) for t in temperatures),
        tuple(
            MomentRow(
                load or NO_LOAD,
                tuple(
                    _cell(governed.get((load, t), ()), mapped.get((load, t)), chosen) for t in temperatures
                ),
            )
            for load in loads
        ),
        tuple(sorted(anytime)),
        bool(mapped),
    )


def _states(rows: Sequence[Row], numbers: Mapping[str, int]) -> Iterator[tuple[int, dict[str, Any]]]:
    """Number and state of every row that is judged in use."""
    for row in rows:
        for cell in row["cells"]:
            if cell["where"]["stage"] == IN_USE:
                yield numbers[row["id"]], cell["where"]["state"]


def _key(state: Mapping[str, Any]) -> tuple[str, float]:
    """Load case and temperature of a state; the instant of a load that goes round is left out."""
    return load_of(state["load_case"]), round(state["temperature_degC"], 3)


def load_of(instant: str) -> str:
    """Name of the load case of an instant: "left bearing" of "left bearing at 150°"."""
    return _INSTANT.sub("", instant)


def _mapped(maps: Document) -> dict[tuple[str, float], dict[str, Any]]:
    """The moment nearest to yield under each load at each temperature; they come nearest first."""
    found: dict[tuple[str, float], dict[str, Any]] = {}
    for moment in maps["moments"]:
        found.setdefault((moment["load_case"], round(moment["state"]["temperature_degC"], 3)), moment)
    return found


def _cell(rows: Sequence[int], moment: Mapping[str, Any] | None, chosen: str) -> MomentCell:
    if moment is None:
        return MomentCell(tuple(sorted(rows)))
    margin = yield_margin(moment)
    return MomentCell(
        tuple(sorted(rows)),
        margin_shown(margin),
        MARKS["fails"] if margin is not None and margin < 0.0 else "",
        moment["nearest"],
        cell_bar(margin),
        moment_url(moment["id"]),
        moment["id"] == chosen,
    )


def yield_margin(moment: Mapping[str, Any]) -> float | None:
    """Margin against yield of the body nearest to it, −1 where an eccentric bore leaves no wall."""
    share = next(b["nearest"]["share"] for b in moment["bodies"] if b["body"] == moment["nearest"])
    if share is None:
        return -1.0
    return None if share <= 0.0 else 1.0 / share - 1.0


def moment_url(id_: str) -> str:
    return f"in-use?{urlencode({'moment': id_})}#stress"
