"""Keys of a case that change nothing in it, and what each of them lacks.

What a key needs is declared with it as conditions, each with its alternatives: "standing_start" (given in
the same table), 'method = "push"', "[press] capacity", "[[service.bearing]]", "a or b". A key that stands
at its default is not mentioned, nor one that waits for what is read at the press later.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.preset_model import FilledValue
from hoopwright.case.quantity import KINDS, parse
from hoopwright.case.table import Table

_CONDITION = re.compile(r'(?:\[+(?P<table>[\w.]+)\]+)? ?(?P<key>\w+)?(?: = (?P<value>".*"))?')


@dataclass(frozen=True)
class Notice:
    """A key without effect, "" for a whole table, and what is needed for it to have one."""

    table: str
    key: str
    needs: str

    def __str__(self) -> str:
        return f"{self.table} {self.key}".strip() + f" changes nothing here: it needs {self.needs}"


def notices(root: Table, filled: Iterable[FilledValue]) -> tuple[Notice, ...]:
    """All keys without effect of a sound case, in the order of the file's tables. filled: by presets, of
    which nothing is said."""
    own = {(value.heading, value.key) for value in filled}
    found = (notice for child in root.children for notice in _of_table(child, root))
    return tuple(notice for notice in found if (notice.table, notice.key) not in own)


def _of_table(table: Table, root: Table) -> Iterator[Notice]:
    lacking = _lacking(table.declared.needs, table, root)
    if lacking:
        yield Notice(table.heading, "", lacking)
        return
    for name in table.values:
        key = next((key for key in table.declared.keys if key.name == name), None)
        lacking = "" if key is None else _lacking(key.needs, table, root)
        if key is not None and lacking and not _at_default(table.values[name], key):
            yield Notice(table.heading, name, lacking)
    for child in table.children:
        yield from _of_table(child, root)


def _lacking(needs: tuple[str, ...], table: Table, root: Table) -> str:
    """The first of the conditions that is not met, "" where all are."""
    return next((one for one in needs if not any(_met(a, table, root) for a in one.split(" or "))), "")


def _met(condition: str, table: Table, root: Table) -> bool:
    found = _CONDITION.fullmatch(condition)
    assert found is not None, condition
    path, key, value = found["table"], found["key"], found["value"]
    if path is None:
        places, declared = [table.values], table.declared
    else:
        places, declared = _at_path(path.split("."), [root.values], root.declared)
    if key is None:
        return bool(places)
    if value is None:
        return any(_given(key, place, declared) for place in places)
    default = declared.key(key).default
    return json.loads(value) in [place.get(key, default) for place in places or [{}]]


def _given(name: str, place: Mapping[str, Any], declared: TableKeys) -> bool:
    """Whether a place has a key at all, and not at its default."""
    key = next((key for key in declared.keys if key.name == name), None)
    return name in place and (key is None or not key.default or not _at_default(place[name], key))


def _at_path(
    path: list[str], places: list[Mapping[str, Any]], declared: TableKeys
) -> tuple[list[Mapping[str, Any]], TableKeys]:
    """Every table of the file at a path, and what is declared there."""
    for name in path:
        inner = [place[name] for place in places if name in place]
        places = [row for found in inner for row in (found if isinstance(found, list) else [found])]
        declared = declared.table(name)
    return places, declared


def _at_default(value: Any, key: Key) -> bool:
    if key.kind in KINDS and isinstance(key.default, str):
        return parse(value, key.kind) == parse(key.default, key.kind)
    return bool(value == key.default)
