"""The table rows × stages, and what in it lies nearest to its limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf
from typing import Any, Literal, NamedTuple

from markupsafe import Markup

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.display.rows import STAGES, Row, in_order_of
from hoopwright.explanations import explanations
from hoopwright.page.figures.marks import cell_bar
from hoopwright.page.model import Bench
from hoopwright.page.views.at_the_press import rows_stand
from hoopwright.page.views.opened import OpenedRow, opened_view
from hoopwright.page.views.words import capital, margin_shown, temperatures, typeset

Look = Literal["holds", "fails", "undecided", "accepted", "unsaid", "none"]


class RowName(NamedTuple):
    """A way to fail: its number for good, its group in the table, and what is held against what."""

    number: int
    group: str
    about: str


GROUPS = ("Strength", "Hold", "Sizes and press", "Further rows")
ROWS: Mapping[str, RowName] = {
    "shell_yields": RowName(1, "Strength", "von Mises against yield"),
    "sleeve_yields": RowName(2, "Strength", "von Mises against yield"),
    "sleeve_buckles": RowName(3, "Strength", "held all round"),
    "ends_crush": RowName(4, "Strength", "push on the end faces"),
    "shell_fatigue_sines": RowName(5, "Strength", "repeated loads"),
    "shell_fatigue_walker": RowName(6, "Strength", "repeated loads"),
    "sleeve_fatigue_sines": RowName(7, "Strength", "repeated loads"),
    "sleeve_fatigue_walker": RowName(8, "Strength", "repeated loads"),
    "sleeve_thread_strips": RowName(9, "Strength", "preload against shear"),
    "cup_thread_strips": RowName(10, "Strength", "preload against shear"),
    "stays_tight": RowName(11, "Hold", "interference lost"),
    "pushed_out": RowName(12, "Hold", "along the axis"),
    "turned": RowName(13, "Hold", "about the axis"),
    "slips_combined": RowName(14, "Hold", "push and turn together"),
    "joint_opens": RowName(15, "Hold", "pressure taken off"),
    "joint_slips": RowName(16, "Hold", "shear against friction"),
    "drops_in": RowName(17, "Sizes and press", "gap by heat or cold"),
    "press_force": RowName(18, "Sizes and press", "greatest force"),
    "wall_left": RowName(19, "Sizes and press", "against your limit"),
    "damage_removed": RowName(20, "Sizes and press", "depth cut off"),
    "bore_closure": RowName(21, "Sizes and press", "against your limit"),
    "thread_fits": RowName(22, "Sizes and press", "play of the cup thread"),
    "shell_thread_strips": RowName(23, "Strength", "preload against shear"),
    "stop_yields": RowName(24, "Strength", "push onto it"),
}
"""By number as it came: 23 is of routes without a sleeve, the others of a sleeve."""
NUMBERS: Mapping[str, int] = {id_: row.number for id_, row in ROWS.items()}
COVERS = {"entering": "going in", "pressed": "at home", "cups": "tightened", "in use": "in service"}
NEAREST = 3
LOOKS: Mapping[str, Look] = {"holds": "holds", "fails": "fails", "unresolved": "undecided"}
SAID = {"holds": "holds", "fails": "fails", "undecided": "undecided, treat as failing"}
MARKS = {"fails": "×", "undecided": "?"}
NO_BAR = Markup()
ACCEPTED = "accepted in [service]"
"""How the note of a row begins that the case accepts without a margin."""


@dataclass(frozen=True)
class Cell:
    """One row in one stage.

    id: of its element. look: how it is told apart. governs: the least of the table. old: of sizes that were
    changed since. text: the margin, or a word; mark: × or ? before it; said: what is read out behind it.
    bar: of the limit used, empty where there is no margin.
    """

    id: str
    row: str
    stage: str
    look: Look
    text: str = ""
    mark: str = ""
    said: str = ""
    governs: bool = False
    old: bool = False
    bold: bool = False
    bar: Markup = NO_BAR

    @property
    def classes(self) -> str:
        flags = ("governs", self.governs), ("old", self.old), ("bold", self.bold)
        return " ".join([f"cell-{self.look}", *(name for name, given in flags if given)])


@dataclass(frozen=True)
class TableRow:
    """A way to fail with its cells in the order of the stages. opened: what stands below it, if it is."""

    id: str
    number: int
    title: str
    about: str
    cells: tuple[Cell, ...]
    governs: bool
    opened: OpenedRow | None = None


@dataclass(frozen=True)
class Group:
    title: str
    rows: tuple[TableRow, ...]


@dataclass(frozen=True)
class Nearest:
    """One of the cells nearest to the limit."""

    row: str
    number: int
    text: str
    title: str
    stage: str
    governs: bool
    mark: str = ""


@dataclass(frozen=True)
class Stage:
    name: str
    covers: str


@dataclass(frozen=True)
class RowsView:
    """The whole table. live: a script moves its numbers. absent: rows that cannot arise in the case."""

    stages: tuple[Stage, ...] = ()
    groups: tuple[Group, ...] = ()
    nearest: tuple[Nearest, ...] = ()
    absent: tuple[str, ...] = ()
    current: bool = True
    live: bool = False
    columns: int = field(default=1 + len(STAGES), init=False)


def rows_view(
    check_document: dict[str, Any] | None,
    units: Units,
    *,
    current: bool,
    live: bool,
    case: Case | None = None,
    opened: str = "",
    opened_at: str = "",
) -> RowsView:
    """The table of a check; without rows before there is one.

    current: the document is of the sizes as they stand. case: as read, for what the stages cover and where
    a row governs. opened: id of a row that is to stand open; opened_at: at which stage, "" for where it
    governs.
    """
    if check_document is None:
        return RowsView(current=current, live=live)
    rows: list[Row] = in_order_of(units, check_document["checks"])
    numbers = numbers_of(rows)
    worst = _worst(rows)
    made = [_row(row, numbers[row["id"]], worst, current) for row in rows]
    stands_open = next((row for row in rows if row["id"] == opened), None)
    if stands_open is not None:
        number = numbers[opened]
        below = opened_view(stands_open, number, units, stage=opened_at, case=case, current=current)
        made = [replace(row, opened=below) if row.id == opened else row for row in made]
    made.sort(key=lambda row: row.number)
    groups = (Group(title, tuple(row for row in made if _group(row.id) == title)) for title in GROUPS)
    return RowsView(
        stages=tuple(Stage(stage, _covers(stage, rows, units, case)) for stage in STAGES),
        groups=tuple(group for group in groups if group.rows),
        nearest=tuple(_nearest(row, cell, numbers, worst) for row, cell in _ordered(rows)[:NEAREST]),
        absent=_absent({row["id"] for row in rows}),
        current=current,
        live=live,
    )


def opened_of(bench: Bench, id_: str, stage: str = "") -> OpenedRow | None:
    """A row of the last check of a case, opened; None where it has no such row."""
    found = bench.answer("check")
    row = next((row for row in (found or {"checks": ()})["checks"] if row["id"] == id_), None)
    if found is None or row is None:
        return None
    number = numbers_of(found["checks"])[id_]
    current = rows_stand(bench)
    return opened_view(row, number, bench.units, stage=stage, case=bench.case, current=current)


def numbers_of(rows: Sequence[Row]) -> dict[str, int]:
    """The number of every row of a document; rows that are not the tool's own count on in their order."""
    further = sorted(row["id"] for row in rows if row["id"] not in NUMBERS)
    own = {row["id"]: NUMBERS[row["id"]] for row in rows if row["id"] in NUMBERS}
    return own | {id_: k for k, id_ in enumerate(further, start=1 + max(NUMBERS.values()))}


def cell_id(row: str, stage: str) -> str:
    """Id of the element of a cell."""
    return f"cell-{row}-{stage.replace(' ', '-')}"


def _group(id_: str) -> str:
    return ROWS[id_].group if id_ in ROWS else GROUPS[-1]


def _absent(found: set[str]) -> tuple[str, ...]:
    """Numbers and names of the rows of a sleeve that the case cannot fail by."""
    titles = {row.id: row.title for row in explanations()}
    last = NUMBERS["thread_fits"]
    return tuple(
        f"{number} {titles[id_]}"
        for id_, number in sorted(NUMBERS.items(), key=lambda one: one[1])
        if id_ not in found and number <= last
    )


def _ordered(rows: Sequence[Row]) -> list[tuple[Row, Row]]:
    """All judged cells with their rows: what fails first, then the least margin."""
    cells = [(row, cell) for row in rows for cell in row["cells"]]
    return sorted(cells, key=lambda pair: _severity(pair[1]))


def _severity(cell: Row) -> tuple[bool, float]:
    return cell["state"] != "fails", inf if cell["margin"] is None else cell["margin"]


def _worst(rows: Sequence[Row]) -> tuple[str, str]:
    """Row and stage of the cell that governs the whole table."""
    ordered = _ordered(rows)
    return (ordered[0][0]["id"], ordered[0][1]["where"]["stage"]) if ordered else ("", "")


def _row(
    row: Row,
    number: int,
    worst: tuple[str, str],
    current: bool,
) -> TableRow:
    accepted = row["state"] == "not assessed" and row["note"].startswith(ACCEPTED)
    about = ROWS[row["id"]].about if row["id"] in ROWS else ""
    if row["state"] == "not assessed":
        about = "accepted by the case" if accepted else "not judged"
    return TableRow(
        id=row["id"],
        number=number,
        title=capital(row["title"]),
        about=about,
        cells=tuple(_cell(row, stage, worst, current, accepted) for stage in STAGES),
        governs=row["id"] == worst[0],
    )


def _cell(row: Row, stage: str, worst: tuple[str, str], current: bool, accepted: bool) -> Cell:
    found = next((c for c in row["cells"] if c["where"]["stage"] == stage), None)
    id_ = cell_id(row["id"], stage)
    if found is None:
        return _unjudged(row, stage, id_, accepted)
    look: Look = LOOKS[found["state"]]
    text, margin = margin_shown(found["margin"]), found["margin"]
    said = SAID[look] if current else "as of the last full check"
    governs = worst == (row["id"], stage)
    return Cell(
        id=id_,
        row=row["id"],
        stage=stage,
        look=look,
        text=text,
        mark=MARKS.get(look, ""),
        said=f"{said}, governs" if governs else said,
        governs=governs,
        old=not current,
        bold=current and margin is not None and margin < 1.0,
        bar=cell_bar(margin),
    )


def _unjudged(row: Row, stage: str, id_: str, accepted: bool) -> Cell:
    """A cell without a margin: accepted, not described by the case, or one that cannot arise."""
    if stage not in row["stages"]:
        return Cell(id_, row["id"], stage, "none")
    if accepted:
        return Cell(id_, row["id"], stage, "accepted", text="accepted", said="slip accepted")
    why = row["note"] if row["state"] == "not assessed" and row["note"] else "the case does not describe it"
    return Cell(id_, row["id"], stage, "unsaid", said=f"not judged: {typeset(why)}")


def _nearest(row: Row, cell: Row, numbers: Mapping[str, int], worst: tuple[str, str]) -> Nearest:
    stage = cell["where"]["stage"]
    return Nearest(
        row=row["id"],
        number=numbers[row["id"]],
        text=margin_shown(cell["margin"]),
        title=capital(row["title"]),
        stage=stage,
        governs=worst == (row["id"], stage),
        mark=MARKS.get(LOOKS[cell["state"]], ""),
    )


def _covers(stage: str, rows: Sequence[Row], units: Units, case: Case | None) -> str:
    """What a stage covers, or that the case does not describe it."""
    if not any(cell["where"]["stage"] == stage for row in rows for cell in row["cells"]):
        return "not given"
    given = None if case is None else case.temperatures
    if stage == "in use" and given is not None:
        return temperatures(20.0 + given.use_min, 20.0 + given.use_max, units)
    if stage == "oven":
        hot = next(
            cell["where"]["state"]["temperature_degC"]
            for row in rows
            for cell in row["cells"]
            if cell["where"]["stage"] == stage
        )
        return "heated" if hot is None else typeset(units.temperature(hot))
    return COVERS[stage]
