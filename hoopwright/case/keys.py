"""Declarations of the tables and keys of a case file, which its readers, listing and schema start from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, Final

REQUIRED: Final = object()
"""Default of a key that must be given."""
NAME = "NAME"
"""Stands for the name that the user gives to a table, as in [gauge.NAME]."""

_LIMITS = re.compile(r"(?:above (?P<above>.+?)|(?:from )?(?P<minimum>.+?))?(?: to (?P<maximum>.+))?")


@cache
def _limits(text: str) -> re.Match[str]:
    found = _LIMITS.fullmatch(text)
    if found is None:
        raise ValueError(f"limits not understood: {text}")
    return found


@dataclass(frozen=True)
class Key:
    """One key of a table.

    kind: that of a quantity (quantity.KINDS), "number", "integer", "flag", "text", "choice", "lengths" or
    "angles" (numbers and one unit), "limits" (a list of two lengths). default: what stands for a key left
    out; None for nothing. limits: "above A", "from A", "above A to B" or "A to B", each with its unit.
    options: of a choice, values by name; empty where tables of the file or of the tool give the names, and
    `see` says where. what: what is chosen, in faults. needs: without which the key changes nothing, see
    without_effect.py; each must be met.
    """

    name: str
    kind: str
    meaning: str
    example: Any = ""
    limits: str = ""
    default: Any = REQUIRED
    max_length: int = 200
    options: Mapping[str, Any] = field(default_factory=dict)
    what: str = ""
    see: str = ""
    needs: tuple[str, ...] = ()

    @property
    def required(self) -> bool:
        return self.default is REQUIRED

    @property
    def above(self) -> str:
        return _limits(self.limits)["above"] or ""

    @property
    def minimum(self) -> str:
        return _limits(self.limits)["minimum"] or ""

    @property
    def maximum(self) -> str:
        return _limits(self.limits)["maximum"] or ""


@dataclass(frozen=True)
class TableKeys:
    """One table: its keys and the tables inside it.

    rows: a list of tables, [[name]]. one_of, any_of: sets of keys of which exactly, or at least, one is to
    be given; "a and b" stands for two that go together. needs: as of a key, for the whole table.
    """

    name: str
    meaning: str
    keys: tuple[Key, ...] = ()
    tables: tuple[TableKeys, ...] = ()
    rows: bool = False
    required: bool = False
    one_of: tuple[tuple[str, ...], ...] = ()
    any_of: tuple[tuple[str, ...], ...] = ()
    needs: tuple[str, ...] = ()

    def key(self, name: str) -> Key:
        """The key of that name, or that of any name. Raises KeyError for one that is not declared."""
        found = next((key for key in self.keys if key.name in (name, NAME)), None)
        if found is None:
            raise KeyError(f"[{self.name}] {name} is not declared")
        return replace(found, name=name) if found.name == NAME else found

    def table(self, name: str) -> TableKeys:
        """The table of that name inside this one, or that of any name. Raises KeyError likewise."""
        found = next((table for table in self.tables if table.name in (name, NAME)), None)
        if found is None:
            raise KeyError(f"[{self.name}.{name}] is not declared")
        return found

    def walk(self, path: str = "") -> Iterator[tuple[str, TableKeys]]:
        """This table and all those inside it, each with its dotted path."""
        yield path, self
        for table in self.tables:
            yield from table.walk(f"{path}.{table.name}".lstrip("."))

    @property
    def needed_keys(self) -> str:
        """The keys that the table must hold, as a list in words; of alternatives the first."""
        names = [key.name for key in self.keys if key.required] + [names[0] for names in self.one_of]
        return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def optional(name: str, kind: str, meaning: str, example: Any = "", limits: str = "", **more: Any) -> Key:
    """A key that may be left out, with nothing in its place."""
    return Key(name, kind, meaning, example, limits, None, **more)


def named(*names: str) -> dict[str, str]:
    """Options of a choice that stand for themselves."""
    return {name: name for name in names}
