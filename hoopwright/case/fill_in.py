"""Fill a starter case in: put answers in the place of its values, and keep its comments.

Where the width of the piece changes, all that is given along the axis follows: what lies in the right half
keeps its distance from the right face, what lies in the middle stays there. Where a preset is named, its
line is switched on and what it fills in is taken away.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

import tomlkit

from hoopwright import presets
from hoopwright.case.quantity import parse
from hoopwright.starters import UnitSystem, aligned, starter_text

Path = tuple[str | int, ...]
"""Keys and places in lists that lead to a value of a case."""

PRESET = "preset"
WIDTH: Path = ("shell", "width")
ALONG_THE_AXIS = ("start", "length", "from", "to", "z", "bearing")
IN_THE_MIDDLE = 0.02
"""Share of the width within which a place counts as the middle."""


def filled_in(piece: str, units: UnitSystem, answers: Mapping[Path, Any]) -> str:
    """The starter of a piece with these values in place of its own. Raises KeyError for a place that it has
    not."""
    named = {str(path[1]): value for path, value in answers.items() if path[0] == PRESET}
    document = tomlkit.parse(_with_presets_on(starter_text(piece, units), named))
    for path in filled_by(named):
        _drop(document, path)
    before = parse(document["shell"]["width"], "length")
    after = parse(answers.get(WIDTH, document["shell"]["width"]), "length")
    if after != before:
        for table, key in _along_the_axis(document):
            moved = _moved(parse(table[key], "length"), before, after)
            table[key] = in_units(moved, units)
    for path, value in answers.items():
        if path[0] != PRESET:
            _table_at(document, path)[path[-1]] = value
    return aligned(tomlkit.dumps(document))


def filled_by(named: Mapping[str, str]) -> tuple[Path, ...]:
    """Paths of the values that presets fill in. named: their names by kind."""
    return tuple(
        (*v.table, v.key) for kind, name in named.items() for v in presets.table()[kind][name].values
    )


def _with_presets_on(text: str, named: Mapping[str, str]) -> str:
    """The starter with the lines of these presets switched on. Raises KeyError where it lacks one."""
    for kind, name in named.items():
        text, count = re.subn(rf'(?m)^#{kind} = "[^"]*"', f'{kind} = "{name}"', text)
        if not count:
            raise KeyError(kind)
    return text.replace(f"#[{PRESET}]", f"[{PRESET}]") if named else text


def _drop(document: Any, path: Path) -> None:
    """Take a value away where it stands."""
    table = document
    for step in path[:-1]:
        table = table.get(step, {})
    if path[-1] in table:
        del table[path[-1]]


def value_at(document: Mapping[str, Any], path: Path) -> Any:
    """The value that stands at a path of a document."""
    return _table_at(document, path)[path[-1]]


def in_units(length: float, units: UnitSystem) -> str:
    """A length, mm, as text in mm or in."""
    return f"{length:.7g} mm" if units == "metric" else f"{length / 25.4:.6g} in"


def _table_at(document: Any, path: Path) -> Any:
    table = document
    for step in path[:-1]:
        table = table[step]
    if path[-1] not in table:
        raise KeyError(path)
    return table


def _along_the_axis(document: Any) -> Iterator[tuple[Any, str]]:
    """Every table with a key that is a place or a length along the axis."""
    for name in ("shell", "sleeve", "service"):
        yield from _below(document.get(name, {}))


def _below(table: Any) -> Iterator[tuple[Any, str]]:
    for key, value in list(table.items()):
        if isinstance(value, dict):
            yield from _below(value)
        elif isinstance(value, list):
            for row in value:
                yield from _below(row)
        elif key in ALONG_THE_AXIS:
            yield table, key


def _moved(z: float, before: float, after: float) -> float:
    if abs(z - 0.5 * before) <= IN_THE_MIDDLE * before:
        return z + 0.5 * (after - before)
    return z if z < 0.5 * before else z + after - before
