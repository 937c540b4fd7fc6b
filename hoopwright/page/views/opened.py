"""An opened row: how its margin comes about, where it governs, and what that rests on."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.display.rows import (
    Row,
    demand_and_capacity,
    error_text,
    in_order_of,
    interval_text,
    place_text,
    when_text,
)
from hoopwright.display.working import said_of, value_text, words_in_both
from hoopwright.display.written import as_written
from hoopwright.explanations import Block, explanations
from hoopwright.page.figures.place import place_figure
from hoopwright.page.views.words import MINUS, capital, margin_shown, read_aloud, typeset

SHOWN_SOURCES = 3
"""Sources named beside a number; the working has all of them."""
STATES = {"holds": "holds", "fails": "fails", "unresolved": "undecided", "not assessed": "not judged"}
_SYMBOL = re.compile(r"[^\W\d]\w*")


@dataclass(frozen=True)
class Quantity:
    """A number with its unit, and below it what it is and where it comes from."""

    label: str
    text: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Fraction:
    """A margin as written: over / below − 1 = margin, then the same to more digits with its error."""

    over: str
    below: str
    margin: str
    exact: str
    error: str
    aloud: str


@dataclass(frozen=True)
class WorkingLine:
    symbol: str
    value: str
    said: str


@dataclass(frozen=True)
class Formulae:
    title: str
    formulae: tuple[tuple[str, str], ...]
    symbols: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Said:
    """The explanation of a row. lists: range, what is left out, sources."""

    fails: str
    looks: str
    formulae: tuple[Formulae, ...]
    lists: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class OpenedRow:
    """One row in full.

    stage: of the cell that is shown; governs: it is the one that governs its row. basis: how demand and
    capacity were found. lacks: what the case lacks to judge it, "" where it is judged. figure: where it
    governs, empty where the case does not say. old: of sizes that were changed since.
    """

    id: str
    number: int
    title: str
    stage: str
    state: str
    governs: bool
    old: bool
    moment: str
    place: str
    basis: str
    quantities: tuple[Quantity, ...]
    fraction: Fraction | None
    interval: str
    note: str
    doubt: str
    lacks: str
    working: tuple[WorkingLine, ...]
    by_hand: tuple[WorkingLine, ...]
    why_by_hand: str
    said: Said | None
    figure: Markup


def opened_view(
    row: Row,
    number: int,
    units: Units,
    *,
    stage: str = "",
    case: Case | None = None,
    current: bool = True,
) -> OpenedRow:
    """A row of a check document, opened at a stage, or where it governs.

    number: of the row in the table. case: as read; where it is not of the same sizes, nothing is drawn.
    """
    row = in_order_of(units, row)
    cell = next((c for c in row["cells"] if c["where"]["stage"] == stage), row)
    where = cell["where"]
    lines = (row["working"] or {"lines": ()})["lines"]
    governs = where["stage"] == row["where"]["stage"]
    hand = (row["working"] or {}).get("by_hand") if governs else None
    unjudged = row["state"] == "not assessed"
    place = typeset(place_text(where, units))
    return OpenedRow(
        id=row["id"],
        number=number,
        title=capital(row["title"]),
        stage=where["stage"],
        state=STATES[cell["state"]],
        governs=governs,
        old=not current,
        moment=typeset(when_text(where, units)),
        place=place,
        basis=typeset(cell["basis"]),
        quantities=tuple(_quantities(cell, lines if governs else (), units)),
        fraction=_fraction(cell, units),
        interval=typeset(interval_text(row)) if governs else "",
        note="" if unjudged else typeset(cell["note"]),
        doubt=typeset(cell["doubt"]),
        lacks=typeset(row["note"] or "the case lacks the input to judge it") if unjudged else "",
        working=tuple(_working(lines, units)),
        by_hand=tuple(_working(hand["lines"], units)) if hand else (),
        why_by_hand=typeset(hand["reason"]) if hand else "",
        said=_said(row["id"], units),
        figure=Markup() if case is None or not current else place_figure(case, where, number, place),
    )


def _quantities(cell: Row, lines: Iterable[dict[str, Any]], units: Units) -> Iterator[Quantity]:
    lines = tuple(lines)
    label = units.label(cell["unit"])
    for name, key, symbol, text in zip(
        ("Demand", "Capacity"),
        ("demand", "capacity"),
        ("demand", "limit"),
        demand_and_capacity(cell, units),
        strict=True,
    ):
        judged = cell["margin"] is not None or cell["margin_without_end"]
        if cell[key] is not None or judged:
            yield Quantity(name, typeset(f"{text} {label}".strip()), _sources(lines, symbol, units))
    factor = next((line for line in lines if line["symbol"] == "n"), None)
    if factor is not None or cell["factor"] != 1.0:
        source = () if factor is None else (typeset(said_of_input(factor)),)
        yield Quantity("Factor", f"{cell['factor']:.2f}", source)


def said_of_input(line: dict[str, Any]) -> str:
    """What an input rests on: "given in the case: [factors] yield"."""
    return f"{line['origin']}: {line['source']}"


def _sources(lines: tuple[dict[str, Any], ...], symbol: str, units: Units) -> tuple[str, ...]:
    """What all inputs rest on that a line of a working follows from, each once."""
    by_symbol = {line["symbol"]: line for line in lines}
    wanted, seen, found = [symbol], set[str](), dict[str, None]()
    while wanted:
        name = wanted.pop(0)
        line = by_symbol.get(name)
        if line is None or name in seen:
            continue
        seen.add(name)
        if line["expression"]:
            wanted += _SYMBOL.findall(line["expression"])
        if line["origin"]:
            said = said_of_input(line)
            solved = line["origin"] == "finite elements"
            found[units.first(words_in_both(said, units)) if solved else said] = None
        elif line["source"]:
            found[line["source"]] = None
    shown = [typeset(text) for text in list(found)[:SHOWN_SOURCES]]
    more = len(found) - len(shown)
    return (*shown, f"and {more} more, in the working") if more > 0 else tuple(shown)


def _fraction(cell: Row, units: Units) -> Fraction | None:
    """The margin as a written fraction; None where it is none."""
    margin, demand, capacity = cell["margin"], cell["demand"], cell["capacity"]
    if margin is None or demand is None or capacity is None or demand <= 0.0 or capacity <= 0.0:
        return None
    below, over = demand_and_capacity(cell, units)
    if cell["factor"] != 1.0:
        below = f"{cell['factor']:.2f} × {below}"
    shown = margin_shown(margin)
    return Fraction(
        over=typeset(over),
        below=typeset(below),
        margin=shown,
        exact=typeset(f"{margin:.4f}"),
        error=error_text(cell, units).replace("< ", "below "),
        aloud=f"{over} divided by {below.replace('×', 'times')}, less 1, is {read_aloud(shown)}",
    )


def _working(lines: Iterable[dict[str, Any]], units: Units) -> Iterator[WorkingLine]:
    for line in lines:
        value = typeset(value_text(line, units))
        if line["expression"]:
            value = f"{_written(line['expression'])} = {value}"
        yield WorkingLine(line["symbol"], value, capital(typeset(said_of(line, units))))


def _written(expression: str) -> str:
    """An expression with a true minus."""
    return typeset(as_written(expression)).replace(" - ", f" {MINUS} ")


def _said(id_: str, units: Units) -> Said | None:
    """The explanation of a row of the tool's own."""
    found = next((one for one in explanations() if one.id == id_), None)
    if found is None:
        return None
    sources = tuple(f"{one.what} ({one.label})" for one in found.sources)
    lists = (("Range", found.validity), ("Left out", found.left_out), ("Sources", sources))
    return Said(
        typeset(units.first(found.fails)),
        typeset(units.first(found.looks)),
        tuple(_formulae(block) for block in found.blocks),
        tuple(
            (title, tuple(typeset(units.first(one)) for one in texts)) for title, texts in lists if texts
        ),
    )


def _formulae(block: Block) -> Formulae:
    formulae = tuple(
        (one.symbol, _written(one.expression) + (f", where {one.where}" if one.where else ""))
        for one in block.formulae
    )
    symbols = tuple(
        (one.symbol, one.meaning + (f", {as_written(one.unit)}" if one.unit else ""))
        for one in block.symbols
    )
    return Formulae(block.title, formulae, symbols)
