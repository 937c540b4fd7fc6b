"""Paths of values of a case, as the page writes them: shell.width, shell.bore[0].diameter, title."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.read import CASE
from hoopwright.errors import Fault

MAX_PATH = 300
"""Most characters of a path; the longest that the keys of a case make takes a third of it."""

Steps = tuple[str | int, ...]
"""Keys and places in lists that lead to a value."""

_STEP = re.compile(r'(?P<name>"(?:[^"\\]|\\.)*"|[^.\[\]"]+)(?:\[(?P<place>[0-9]{1,4})\])?(?P<more>\.|$)')
_HEADING = re.compile(r"\[{1,2}(?P<path>.*?)\]{1,2}(?P<row> \d+)?(?P<below>(?: .*)?)")


class PathError(ValueError):
    """A path that leads to no value that a case may have; its text says why."""


@dataclass(frozen=True)
class Place:
    """Where a value stands. key: as declared, None for a whole entry of a list of tables. tables: the
    declared tables on the way, that of the value itself last."""

    steps: Steps
    key: Key | None
    tables: tuple[TableKeys, ...]


def place_of(path: str) -> Place:
    """The place that a path leads to. Raises PathError."""
    steps = _steps(path)
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
                key = table.key(step)
            else:
                table = table.table(step)
                tables.append(table)
        except KeyError:
            raise PathError("no such key in a case; `hoopwright keys` lists them") from None
        if not last and table.rows != isinstance(steps[at + 1], int):
            raise PathError("which entry of the list is not said" if table.rows else "not a list")
    return Place(steps, key, tuple(tables))


def _steps(path: str) -> Steps:
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
