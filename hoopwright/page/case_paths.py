"""Places of a case by the path that a form sends, e.g. "shell.bore[0].diameter".

Names of the user's own stand in quotes where TOML asks for them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import reduce
from itertools import pairwise
from typing import Any

from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.read import CASE
from hoopwright.case.table import dotted_path

_PART = re.compile(r'\.?(?:"((?:[^"\\]|\\.)*)"|([A-Za-z0-9_-]+))|\[([0-9]{1,4})\]')


def steps_of(path: str) -> tuple[str | int, ...]:
    """Keys and places in lists, from 0. Raises ValueError for a text that is no path."""
    steps: list[str | int] = []
    at = 0
    while at < len(path):
        found = _PART.match(path, at)
        if found is None:
            raise ValueError(f"not a path of a case: {path}")
        quoted, plain, index = found.groups()
        steps.append(int(index) if index is not None else plain or re.sub(r"\\(.)", r"\1", quoted))
        at = found.end()
    return tuple(steps)


def path_of(*steps: str | int) -> str:
    """The path of keys and places in lists."""
    return "".join(f"[{s}]" if isinstance(s, int) else f".{dotted_path('', s)}" for s in steps).lstrip(".")


def declared_at(path: str) -> Key:
    """The key that may stand at a path. Raises KeyError where none may."""
    *above, last = steps_of(path)
    tables: TableKeys = reduce(
        lambda table, s: table.table(s), (s for s in above if isinstance(s, str)), CASE
    )
    return tables.key(str(last))


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
