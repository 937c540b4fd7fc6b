"""Set or take away values of a case file, and leave its comments and the order of its lines alone.

A value that is taken away is switched off as in a starter, by a # before its line, and switched on where it
stood when it is given again. Whatever way a new text is made, it is used only if it reads as the old one
with that one value changed and all its comments: a text that says something else never gets into a file.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from hoopwright.case.faults import Faults, shortened
from hoopwright.case.reader_units import System
from hoopwright.case.toml_file import toml_tables
from hoopwright.errors import CaseError, Fault
from hoopwright.page import lines
from hoopwright.page.paths import PathError, Place, Steps, key_text, path_to, place_of
from hoopwright.page.values import item, toml_value

BOM = "\ufeff"
NOT_HERE = "cannot be changed from the page as the file is written"


class EditError(CaseError):
    """A value that cannot be set. path: as it was asked for."""

    def __init__(self, path: str, fault: Fault) -> None:
        super().__init__((fault,))
        self.path = path


def edited(text: str, edits: Sequence[tuple[str, str]], system: System, *, file: str) -> str:
    """The text of a case with values set in turn, each by its path as it was typed; one that is empty is
    taken away.

    system: units of the page, for numbers without one. Raises EditError, and CaseError where the text is
    not TOML.
    """
    mark = BOM if text.startswith(BOM) else ""
    text = text.removeprefix(BOM)
    for path, typed in edits:
        try:
            text = _edited(text, place_of(path), typed, system, file)
        except PathError as error:
            raise EditError(path, Fault(file, "", path, str(error))) from None
    return mark + text


def _edited(text: str, place: Place, typed: str, system: System, file: str) -> str:
    tables = _tables(text, file)
    path = path_to(*place.steps)
    if not typed.strip():
        wanted, candidates = _without(tables, place.steps), _taken_away(text, place)
        unheaded = _without_empty(wanted, place.steps)
    elif place.key is None:
        raise PathError("a table, not a value")
    else:
        written = toml_value(place.key, typed, system)
        wanted = unheaded = _with(tables, place.steps, item(written).unwrap())
        candidates = _set(text, place, written, tables)
    if wanted == tables:
        return text
    said = lines.comments(text)
    lost: list[str] = []
    for candidate in candidates:
        faults = Faults(file)
        same = toml_tables(candidate.encode(), faults) in (wanted, unheaded) and not faults.found
        entry = isinstance(place.steps[-1], int)  # what is said of an entry of a list goes with it
        if not same:
            continue
        kept = lines.comments(candidate)
        if entry or kept == said:
            return candidate
        lost = lost or [one for one in said if one not in kept]
    why = f"would take the comment {shortened(lost[0])} with it" if lost else NOT_HERE
    raise EditError(path, Fault(file, "", path, why, "change it there in an editor"))


def _tables(text: str, file: str) -> dict[str, Any]:
    """The tables of the text. Raises CaseError where it is not TOML."""
    faults = Faults(file)
    tables = toml_tables(text.encode("utf-8", "surrogatepass"), faults)
    faults.raise_if_any()
    return tables


def _with(tables: dict[str, Any], steps: Steps, value: Any) -> dict[str, Any]:
    """The tables with a value set; tables on the way are made. Raises PathError where a value stands in the
    way, or an entry of a list would leave a gap."""
    found = copy.deepcopy(tables)
    at: Any = found
    for step, following in zip(steps[:-1], steps[1:], strict=True):
        if isinstance(step, int):
            if step > len(at):
                raise PathError(f"the list has {len(at)} entries")
            if step == len(at):
                at.append({})
            at = at[step]
        else:
            at = at.setdefault(step, [] if isinstance(following, int) else {})
        if not isinstance(at, list if isinstance(following, int) else dict):
            raise PathError("a value stands where its table would be")
    at[steps[-1]] = value
    return found


def _without(tables: dict[str, Any], steps: Steps) -> dict[str, Any]:
    """The tables without a value, the same where it is not there."""
    found = copy.deepcopy(tables)
    at: Any = found
    for step in steps[:-1]:
        at = _inside(at, step)
    if _inside(at, steps[-1]) is not None:
        del at[steps[-1]]
        if at == [] and len(steps) > 1:
            return _without(found, steps[:-1])
    return found


def _without_empty(tables: dict[str, Any], steps: Steps) -> dict[str, Any]:
    """The tables without those above a list that was taken away with its last entry and that have nothing
    else: a table without a header of its own goes with the last that stands in it."""
    found = copy.deepcopy(tables)
    if not isinstance(steps[-1], int):
        return found
    for end in range(len(steps) - 2, 0, -1):
        at: Any = found
        for step in steps[: end - 1]:
            at = _inside(at, step)
        if _inside(at, steps[end - 1]) != {} or isinstance(steps[end - 1], int):
            break
        del at[steps[end - 1]]
    return found


def _inside(table: Any, step: str | int) -> Any:
    if isinstance(step, int):
        return table[step] if isinstance(table, list) and step < len(table) else None
    return table.get(step) if isinstance(table, dict) else None


def _set(text: str, place: Place, written: str, tables: dict[str, Any]) -> Iterator[str]:
    """Texts with the value set, the best first: where it stands, where it stands switched off, in the order
    of the keys of its table, in a table of its own, in braces."""
    yield from lines.replaced(text, place, written)
    yield from _tried(lambda: _put(text, place, written, new=False))
    yield from lines.switched_on(text, place, written)
    yield from _tried(lambda: _appended(text, place, written))
    if _is_nested_list(place):
        yield from lines.put_in_order(text, *_first_of_list(place, written, text))
    yield from lines.put_in_order(text, place, written)
    yield from lines.with_table(text, place, written, tables)
    yield from _tried(lambda: _put(text, place, written, new=True))
    above, braced = _in_braces(place, written)
    if above is not None:
        yield from lines.put_in_order(text, above, braced)
        yield from lines.with_table(text, above, braced, tables)
        yield from _tried(lambda: _put(text, above, braced, new=True))


def _is_nested_list(place: Place) -> bool:
    """Whether a value is of the first entry of a list in an entry of a list, as the readings of a land.

    Such a list stands in brackets, an entry a line, so that it stays with what it is of.
    """
    steps = place.steps
    return len(steps) > 3 and steps[-2] == 0 and any(isinstance(step, int) for step in steps[:-3])


def _first_of_list(place: Place, written: str, text: str) -> tuple[Place, str]:
    """The list with this first entry, as a value of the table above, with the line ends of the text."""
    end = lines.end_of_line(text)
    entry = f"{{ {key_text(str(place.steps[-1]))} = {written} }}"
    return Place(place.steps[:-2], None, place.tables[:-1]), f"[{end}    {entry},{end}]"


def _appended(text: str, place: Place, written: str) -> str:
    """The value in a new last entry of a list that is there, in whatever form the list is."""
    document = tomlkit.parse(text)
    *above, count, name = place.steps
    rows = _at(document, tuple(above))
    if not isinstance(count, int) or len(rows) != count:
        raise KeyError(name)
    entry = f"{{ {key_text(str(name))} = {written} }}"
    if isinstance(rows, AoT):
        table = tomlkit.table()
        table[str(name)] = item(written)
        rows.append(table)
    else:
        rows.append(item(entry))
    return tomlkit.dumps(document)


def _in_braces(place: Place, written: str) -> tuple[Place | None, str]:
    """The table of a value as the value of a key of the table above, where it is a table below another."""
    steps, braced = place.steps[:-1], f"{{ {key_text(str(place.steps[-1]))} = {written} }}"
    if steps and isinstance(steps[-1], int):
        if steps[-1]:
            return None, ""
        steps, braced = steps[:-1], f"[{braced}]"
    if len(steps) < 2:
        return None, ""
    return Place(steps, None, place.tables[:-1]), braced


def _tried(make: Callable[[], str]) -> Iterator[str]:
    """The text that is made, none where the file has no such place."""
    with suppress(TOMLKitError, LookupError, TypeError, ValueError, AttributeError, RecursionError):
        yield make()


def _put(text: str, place: Place, written: str, *, new: bool) -> str:
    """The value put into its table, whatever form that has. new: there is none yet."""
    document = tomlkit.parse(text)
    table = _at(document, place.steps[:-1])
    if (place.steps[-1] not in table) != new:
        raise KeyError(place.steps[-1])
    table[place.steps[-1]] = item(written)
    return tomlkit.dumps(document)


def _taken_away(text: str, place: Place) -> Iterator[str]:
    """Texts without the value: its line switched off, or gone where it has none of its own."""
    if place.key is not None:
        yield from lines.switched_off(text, place)
    elif not isinstance(place.steps[-1], int):
        yield from lines.list_switched_off(text, place)
        yield from lines.table_switched_off(text, place)
    yield from _tried(lambda: _removed(text, place.steps))
    if isinstance(place.steps[-1], int):
        yield from _tried(lambda: _removed(text, place.steps[:-1]))


def _removed(text: str, steps: Steps) -> str:
    document = tomlkit.parse(text)
    del _at(document, steps[:-1])[steps[-1]]
    return tomlkit.dumps(document)


def _at(document: Any, steps: Steps) -> Any:
    table = document
    for step in steps:
        table = table[step]
    return table
