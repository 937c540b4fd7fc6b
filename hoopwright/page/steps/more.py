"""Every key that a step does not show by itself, table by table, folded: no value needs an editor."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from hoopwright.case.keys import TableKeys
from hoopwright.case.read import CASE
from hoopwright.page.fields import FieldView, field
from hoopwright.page.model import Bench
from hoopwright.page.paths import place_of, value_at
from hoopwright.page.steps.groups import Group, together

TABLES: Mapping[str, tuple[str, ...]] = {
    "piece": ("job",),
    "sizes": ("shell", "shell.out_of_round", "shell.strength", "sleeve", "fit", "mesh"),
    "damage": ("boring", "compound"),
    "use": (
        "service",
        "service.bearing",
        "service.left_cup",
        "service.right_cup",
        "service.side_impact",
        "service.tube",
        "service.clamped",
        "fatigue",
        "fatigue.shell",
        "fatigue.sleeve",
        "cups",
        "cups.left",
        "cups.right",
        "demand",
        "temperatures",
        "factors",
        "press",
        "press.heat",
        "size",
    ),
    "routes": ("route",),
    "record": ("drawing", "drawing.sleeve", "drawing.bore", "record"),
}
"""Tables of the case whose keys belong to a step, by its id."""


@dataclass(frozen=True)
class More:
    """One table, or one entry of a list of them. given: how many of its keys the file gives. away: path of
    an entry that can be taken away, "" for a table that is no list. adds: it is an entry that is not there
    yet."""

    group: Group
    given: int
    away: str = ""
    adds: bool = False

    @property
    def open(self) -> bool:
        return self.group.wants_a_look and not self.adds


def more_of(bench: Bench, step: str, shown: Collection[str]) -> tuple[More, ...]:
    """What a step does not show yet. shown: paths of the fields that it has."""
    return tuple(one for path in TABLES.get(step, ()) for one in _of_table(bench, step, path, shown))


def _of_table(bench: Bench, step: str, path: str, shown: Collection[str]) -> Iterator[More]:
    keys = _declared(path)
    if not keys.rows:
        yield from _one(bench, step, path, keys, shown, _capital(keys.meaning))
        return
    rows = value_at(bench.tables, path)
    count = len(rows) if isinstance(rows, list) else 0
    name = path.rpartition(".")[2]
    for place in range(count):
        at = f"{path}[{place}]"
        for one in _one(bench, step, at, keys, shown, f"{_capital(name)} {place + 1}"):
            yield replace(one, away=at)
    title = f"One more {name}: {keys.meaning}"
    for one in _one(bench, step, f"{path}[{count}]", keys, shown, title):
        yield replace(one, adds=True)


def _one(
    bench: Bench, step: str, at: str, keys: TableKeys, shown: Collection[str], title: str
) -> Iterator[More]:
    """One table: its fields one by one where it stands in the file, else as a form of its own, since it is
    sound only with all that it needs."""
    paths = [f"{at}.{key.name}" for key in keys.keys]
    fields = tuple(_field(bench, path, step) for path in paths if path not in shown)
    if not fields:
        return
    given = sum(f.given for f in fields)
    stands = value_at(bench.tables, at) is not None
    needs = any(key.required for key in keys.keys) or bool(keys.one_of) or bool(keys.any_of)
    alone = stands or not needs
    title = bench.units.first(title)
    yield More(Group(title, fields) if alone else together(title, _optional(fields)), given)


def _field(bench: Bench, path: str, step: str) -> FieldView:
    """The field of a key, which is called what the file calls it, with what it means."""
    key = place_of(path).key
    assert key is not None
    made = field(bench, path, key.name.replace("_", " "), step=step)
    if made.state == "rest" and not made.note:
        return replace(made, note=bench.units.first(key.meaning))
    return made


def _optional(fields: tuple[FieldView, ...]) -> tuple[FieldView, ...]:
    """Fields of a table that need not be there: none is wanted yet."""
    return tuple(f if f.fault else replace(f, required=False) for f in fields)


def _declared(path: str) -> TableKeys:
    """The declaration of a table, of a list of them without a place in it."""
    found = CASE
    for name in path.split("."):
        found = found.table(name)
    return found


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}".replace("_", " ")
