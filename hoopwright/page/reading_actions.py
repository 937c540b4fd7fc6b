"""What the forms of step Readings do: take, correct and drop readings, say that one is so, and take that
back."""

from __future__ import annotations

from hoopwright.case.reader_units import example_for, system_of
from hoopwright.page.as_typed import in_print
from hoopwright.page.column import column_of
from hoopwright.page.model import Bench, Done, Edit, Form, first_value
from hoopwright.page.read_place import Here, after, here_of
from hoopwright.page.take_readings import (
    Taken,
    dropping,
    giving_a_size,
    land_path,
    no_longer_so,
    open_suspects,
    row_path,
    taking,
    without_station,
)
from hoopwright.page.typed_size import TypedError, size_of

READING = "reading"
"""What was typed and not taken stands in the entry under this name."""


def take(bench: Bench, form: Form) -> Done:
    """The reading that was typed, at its place."""
    here, typed = here_of(bench), first_value(form, "typed")
    if here is None or here.station is None:
        return _refused(typed, "nothing is left to be read here; plan another station")
    if problem := _not_to_be_read(here):
        return _refused(typed, problem)
    try:
        size = size_of(typed, here.way, expected=here.expected)
    except TypedError as error:
        return _refused(typed, str(error))
    edits = taking(bench, here.land, here.gauge, (Taken(here.station, here.at, size),))
    return Done(edits, asked=after(here))


def take_column(bench: Bench, form: Form) -> Done:
    """A pasted column, as it was shown."""
    here, column = here_of(bench), first_value(form, "column")
    if here is None or (problem := _not_to_be_read(here)):
        return _refused("", "nothing can be read here" if here is None else problem)
    lines = column_of(here, column)
    wrong = next((f"{line.typed}: {line.fault}" for line in lines if line.fault), "")
    if wrong or not lines:
        return _refused("", wrong or "nothing was pasted")
    taken = [line.taken for line in lines if line.taken is not None]
    return Done(taking(bench, here.land, here.gauge, taken), asked=_at_land(here))


def drop(bench: Bench, _: Form) -> Done:
    """Take the reading in hand away."""
    here = here_of(bench)
    if here is None or here.station is None or not here.station.slots[here.at].is_read:
        return _refused("", "there is no reading to be taken away")
    if len(here.land.rows) == 1 and len(here.station.read) == 1:
        return _refused("", "the last reading of a land: give its size instead, below")
    return Done(dropping(bench, here.land, here.station, here.at), asked=_at_land(here))


def drop_station(bench: Bench, _: Form) -> Done:
    """Take a station and all its readings away."""
    here = here_of(bench)
    if here is None or here.station is None or here.station.row is None:
        return _refused("", "nothing was read there")
    if len(here.land.rows) == 1:
        return _refused("", "the last station of a land: give its size instead, below")
    return Done(without_station(bench, here.land, here.station.row), asked=_at_land(here))


def confirm(bench: Bench, form: Form) -> Done:
    """It is so: what stands out at a station was looked at again."""
    here = here_of(bench)
    if here is None or (row := _row_of(here, form)) is None:
        return _refused("", "there is no such station")
    if row not in {one.station for one in open_suspects(here.measured)}:
        return _refused("", "nothing stands out at that station, so there is nothing to confirm")
    return Done((Edit(f"{row_path(here.land, row)}.confirmed", "true"),), asked=_at_land(here))


def take_back(bench: Bench, form: Form) -> Done:
    """It is not so after all: what stands out at a station is in doubt again."""
    here = here_of(bench)
    if here is None or (row := _row_of(here, form)) is None:
        return _refused("", "there is no such station")
    if here.land.rows[row].get("confirmed") is not True:
        return _refused("", "nothing is confirmed at that station")
    return Done(no_longer_so(here.land, row), asked=_at_land(here))


def _row_of(here: Here, form: Form) -> int | None:
    """The row of readings that a form names; None where the land has no such row."""
    row = first_value(form, "row")
    if not row.isdecimal() or len(row) > 4 or int(row) >= len(here.land.rows):
        return None
    return int(row)


def give_size(bench: Bench, form: Form) -> Done:
    """A typed size in the place of the readings of a land."""
    here = here_of(bench)
    if here is None or here.land.index is None or not here.land.rows:
        return _refused("", "this land has no readings")
    diameter, plus_minus = first_value(form, "diameter").strip(), first_value(form, "plus_minus").strip()
    if not diameter or not plus_minus:
        example = in_print(example_for("5 um", system_of(bench.units.system)))
        return _refused("", f"give the diameter and how sure it is, e.g. {example}")
    return Done(giving_a_size(bench, here.land, diameter, plus_minus), asked=_at_land(here))


def _at_land(here: Here) -> dict[str, str]:
    return here.asked() | {"land": land_path(here.land)}


def _not_to_be_read(here: Here) -> str:
    """Why nothing can be written there yet."""
    if not here.gauge:
        return "choose a gauge first, under How it is read"
    if here.land.index is None and not all(here.land.ends):
        return "give the length of the part first, under Sizes"
    return here.way.fault


def _refused(typed: str, words: str) -> Done:
    return Done(rejected={READING: (typed, words)})


ACTIONS = {
    "take": take,
    "column": take_column,
    "drop": drop,
    "drop-station": drop_station,
    "confirm": confirm,
    "take-back": take_back,
    "size": give_size,
}
