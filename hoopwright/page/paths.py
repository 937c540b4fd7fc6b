"""Paths of values of a case, as the page writes them: shell.width, shell.bore[0].diameter, title."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.read import CASE
from hoopwright.case.table import dotted_path
from hoopwright.errors import Fault

MAX_PATH = 300
"""Most characters of a path; the longest that the keys of a case make takes a third of it."""

Steps = tuple[str | int, ...]
"""Keys and places in lists that lead to a value."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STEP = re.compile(
    r'(?P<name>"(?:[^"\\]|\\.)*"|[A-Za-z0-9_-]+)(?:\[(?P<place>[0-9]{1,4})\])?(?P<more>\.|$)'
)
_HEADING = re.compile(r"\[{1,2}(?P<path>.*?)\]{1,2}(?P<row> \d+)?(?P<below>(?: .*)?)")


class PathError(ValueError):
    """A path that leads to no value that a case may have; its text says why."""


@dataclass(frozen=True)
class Place:
    """Where a value stands. key: as declared, None for a whole table or a whole entry of a list of them.
    tables: the declared tables on the way, that of the value itself last."""

    steps: Steps
    key: Key | None
    tables: tuple[TableKeys, ...]


def place_of(path: str) -> Place:
    """The place that a path leads to. Raises PathError."""
    steps = steps_of(path)
    table, tables = CASE, [CASE]
    key: Key | None = None
    for at, step in enumerate(steps):
        if isinstance(step, int):
            if not table.rows:
                raise PathError(f"[{table.name}] is no list")
            continue
        last = at == len(steps) - 1
        try:
            if last:
                key = _key(table, step)
            if key is None:
                table = table.table(step)
                tables.append(table)
        except KeyError:
            raise PathError("no such key in a case; `hoopwright keys` lists them") from None
        if not last and table.rows != isinstance(steps[at + 1], int):
            raise PathError("which entry of the list is not said" if table.rows else "not a list")
    return Place(steps, key, tuple(tables))


def _key(table: TableKeys, name: str) -> Key | None:
    try:
        return table.key(name)
    except KeyError:
        return None


def steps_of(path: str) -> Steps:
    """The steps of a path. Raises PathError where it is not one."""
    if len(path) > MAX_PATH or not path:
        raise PathError("not the path of a value")
    steps: list[str | int] = []
    at = 0
    while at < len(path):
        found = _STEP.match(path, at)
        if found is None:
            raise PathError("not the path of a value")
        steps.append(_name(found["name"]))
        if found["place"]:
            steps.append(int(found["place"]))
        at = found.end()
    if path.endswith("."):
        raise PathError("not the path of a value")
    return tuple(steps)


def _name(text: str) -> str:
    if not text.startswith('"'):
        return text
    try:
        return str(json.loads(text))
    except ValueError:
        raise PathError("not the path of a value") from None


def path_of(fault: Fault) -> str:
    """The path of the key that a fault speaks of, as far as it names one."""
    found = _HEADING.fullmatch(fault.table)
    if found is None:
        return fault.key
    path = found["path"] + (f"[{int(found['row']) - 1}]" if found["row"] else "")
    for word in found["below"].split():
        path += f"[{int(word) - 1}]" if word.isdigit() else f".{word}"
    return f"{path}.{fault.key}" if fault.key else path


def path_to(*steps: str | int) -> str:
    """The path of keys and places in lists, which is how TOML writes it but for these."""
    return "".join(f"[{s}]" if isinstance(s, int) else f".{key_text(s)}" for s in steps).removeprefix(".")


def key_text(name: str) -> str:
    """A key as TOML writes it: one of the user's own in quotes where it needs them."""
    return name if _BARE.fullmatch(name) else json.dumps(name, ensure_ascii=False)


def declared_at(path: str) -> Key:
    """The key that may stand at a path. Raises PathError where none may."""
    key = place_of(path).key
    if key is None:
        raise PathError("a table, not a value")
    return key


def value_at(tables: Mapping[str, Any], path: str) -> Any:
    """What a case gives at a path; None where it gives nothing there."""
    value: Any = tables
    for step in steps_of(path):
        if isinstance(step, int):
            value = value[step] if isinstance(value, list) and step < len(value) else None
        else:
            value = value.get(step) if isinstance(value, Mapping) else None
    return value


def heading_at(path: str) -> tuple[str, str]:
    """The heading under which a fault names the key at a path, and the key."""
    steps = steps_of(path)
    heading = ""
    for step, following in pairwise(steps):
        if isinstance(step, int):
            heading = f"{heading} {step + 1}"
        elif heading.startswith("[["):
            heading = f"{heading} {step}"
        elif isinstance(following, int):
            heading = f"[[{dotted_path(heading, step)}]]"
        else:
            heading = f"[{dotted_path(heading, step)}]"
    return heading, str(steps[-1])
