"""Typed access to one table of a case file, noting faults instead of raising them.

A getter returns the value, or None after noting what is wrong. `build` makes the dataclass only
if the table has no fault so far, so one bad value gives one line and no follow-up faults.
"""

from __future__ import annotations

import datetime
import difflib
import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from hoopwright.case import quantity
from hoopwright.case.faults import Faults, as_toml, shortened
from hoopwright.case.keys import REQUIRED, Key, TableKeys
from hoopwright.case.reader_units import System, example_for, lengths_in
from hoopwright.geometry.readings import Gauge
from hoopwright.materials import Material

T = TypeVar("T")

MAX_ROWS = 200
MAX_UNKNOWN_KEYS = 10
MAX_TEXT_LENGTH = 4000
ZERO_WIDTH_JOINERS = "\u200c\u200d"
"""Zero-width non-joiner and joiner: invisible, but part of some scripts and pictographs."""

FEW_OPTIONS = 6
"""Of a choice: all of them are told where none is close to what was written."""


class Table:
    """One table of the file.

    values: as tomllib gives them. heading: as in the file, e.g. "[sleeve]" or "[[shell.bore]] 2".
    declared: its keys. materials, gauges: those that may be named, by key; None for a faulty one.
    parent: the table that contains this one.
    """

    def __init__(
        self,
        values: Mapping[str, Any],
        heading: str,
        faults: Faults,
        declared: TableKeys,
        *,
        materials: Mapping[str, Material | None] | None = None,
        parent: Table | None = None,
    ) -> None:
        self.values, self.heading, self.faults, self.parent = values, heading, faults, parent
        self.declared = declared
        self.materials: Mapping[str, Material | None] = materials or {}
        self.gauges: Mapping[str, Gauge | None] = parent.gauges if parent else {}
        self.sound = True
        self._keys_read: list[str] = []
        self.children: list[Table] = []

    @property
    def system(self) -> System:
        """Units of the reader, as the file gives them at its top."""
        table = self
        while table.parent is not None:
            table = table.parent
        return "inch" if table.values.get("units") == "inch" else "metric"

    def example(self, text: str) -> str:
        """An example of a quantity in the units of the reader."""
        return example_for(text, self.system)

    def fault(self, key: str, problem: str, advice: str = "") -> None:
        """Note a fault at a key; this table and those that contain it are no longer sound."""
        given = as_toml(self.values[key]) if key in self.values else ""
        self.faults.add(self.heading, key, problem, advice, given=given)
        table: Table | None = self
        while table is not None:
            table.sound = False
            table = table.parent

    def build(self, make: Callable[..., T], **values: Any) -> T | None:
        """make(**values), or None when a fault was noted in this table or a subtable.

        A ValueError from make is noted as a fault of the table.
        """
        if not self.sound:
            return None
        try:
            return make(**values)
        except ValueError as error:
            self.fault("", lengths_in(str(error), self.system))
            return None

    def has(self, key: str) -> bool:
        """Whether the file gives the key, which counts as known from now on."""
        self._keys_read.append(key)
        return key in self.values

    # -- values ----------------------------------------------------------------------------

    def get(
        self, name: str, *, required: bool | None = None, options: Mapping[str, Any] | None = None
    ) -> Any:
        """The value of a declared key: a quantity in its internal unit, an angle in degrees.

        required: whether it must be given, where that hangs on other keys. options: of a choice among what
        the file itself names.
        """
        key = self.declared.key(name)
        if required is not None:
            key = replace(key, default=REQUIRED if required else None)
        if options is not None:
            key = replace(key, options=options)
        return _READERS.get(key.kind, Table._quantity)(self, key)

    def fields(self, *names: str) -> dict[str, Any]:
        """The values of keys by name, for a dataclass whose fields are named like them."""
        return {name: self.get(name) for name in names}

    def _quantity(self, key: Key) -> Any:
        kind, example = key.kind, key.example or quantity.KINDS[key.kind].example
        shown = self.example(example)
        raw = self._value(key, f'write e.g. {key.name} = "{shown}"')
        if raw is None:
            return None
        try:
            value = quantity.parse(raw, kind, example=example, system=self.system)
        except quantity.QuantityError as error:
            advice = f'write e.g. {key.name} = "{shortened(error.suggestion or shown)}"'
            self.fault(key.name, error.problem, f"{error.hint}; {advice}" if error.hint else advice)
            return None
        broken = _range_error(value, key, lambda text: quantity.parse_limit(text, kind), self.example)
        if broken:
            self.fault(key.name, broken, f'write e.g. {key.name} = "{shown}"')
            return None
        return round(math.degrees(value), 9) if kind == "angle" else value

    def length_in_text(self, name: str, *, above: str) -> Any:
        """The length, mm, that a key declared as text gives, which may hold other things than lengths."""
        key = self.declared.key(name)
        return self._quantity(replace(key, kind="length", limits=f"above {above}"))

    def _number(self, key: Key) -> Any:
        advice = f"write e.g. {key.name} = {key.example:g}"
        raw = self._value(key, advice)
        if raw is None:
            return None
        if isinstance(raw, str):
            problem: str | None = "text; this is a plain number, without quotes and unit"
        elif isinstance(raw, bool) or not isinstance(raw, int | float):
            problem = "not a number"
        elif abs(raw) > 1e300 or not math.isfinite(raw):
            problem = "not a finite number"
        else:
            problem = _range_error(float(raw), key, float)
        if problem:
            self.fault(key.name, problem, advice)
            return None
        return float(raw)

    def _integer(self, key: Key) -> Any:
        advice = f"write a whole number from {key.minimum} to {key.maximum}"
        raw = self._value(key, advice)
        if raw is None:
            return None
        if isinstance(raw, bool) or not isinstance(raw, int):
            self.fault(key.name, "not a whole number", advice)
        elif not int(key.minimum) <= raw <= int(key.maximum):
            self.fault(key.name, "out of range", advice)
        else:
            return raw
        return None

    def _flag(self, key: Key) -> Any:
        """true or false; None where it is not given and has no default."""
        raw = self._value(key, "")
        if raw is not None and not isinstance(raw, bool):
            self.fault(key.name, "neither true nor false", "write true or false, without quotes")
            return None
        return raw

    def _text(self, key: Key) -> Any:
        """A TOML date is taken as text. Line breaks are allowed in a long text. Blanks alone say nothing in
        a short one; "" is as good as left out where the key is optional."""
        advice = f'write e.g. {key.name} = "{key.example}"'
        raw = self._value(key, advice)
        if isinstance(raw, datetime.date | datetime.time):
            return raw.isoformat()
        unseen = ZERO_WIDTH_JOINERS + ("\n\t" if key.max_length > 200 else "")
        if raw is None or raw is key.default:
            return raw
        if not isinstance(raw, str):
            self.fault(key.name, "not a text in quotes", advice)
        elif (key.required or (raw and key.max_length <= 200)) and not raw.strip():
            self.fault(key.name, "empty", advice)
        elif len(raw) > key.max_length:
            self.fault(key.name, f"longer than {key.max_length} characters", "shorten it")
        elif not all(c.isprintable() or c in unseen for c in raw):
            self.fault(key.name, "contains a control character", "remove it, and keep it on one line")
        else:
            return raw
        return None

    def _choice(self, key: Key) -> Any:
        """One of the named options; the fault of an unknown name lists close ones and where to see all."""
        if not key.required and not self.has(key.name):
            return key.options.get(key.default)
        known = list(key.options)
        raw = self._value(key, f'write e.g. {key.name} = "{known[0]}"' if known else key.see)
        if raw is None:
            return None
        if isinstance(raw, str) and raw in key.options:
            return key.options[raw]
        few = len(known) <= FEW_OPTIONS
        # of few, what is hardly alike is not what was meant: all are told instead
        close = _close_matches(raw, known, 0.6 if few else 0.5) if isinstance(raw, str) else []
        names = close or (known if few else [])
        advice = "write " + " or ".join(f'"{name}"' for name in names) if names else ""
        self.fault(
            key.name, f"not a known {key.what}", "; ".join(part for part in (advice, key.see) if part)
        )
        return None

    # -- tables inside this one -------------------------------------------------------------

    def subtable(self, key: str) -> Table | None:
        """The table under a key, or None where it is absent (no fault) or not a table (a fault)."""
        if not self.has(key):
            return None
        in_row = self.heading.startswith("[[")
        heading = f"{self.heading} {_name(key)}" if in_row else f"[{dotted_path(self.heading, key)}]"
        if not isinstance(self.values[key], dict):
            how = f"write {_name(key)} = {{ ... }}" if in_row else f"write {heading} on its own line"
            self.fault(key, "not a table", how)
            return None
        return self._child(key, self.values[key], heading)

    def empty_subtable(self, key: str) -> Table:
        """An empty table, for reading the defaults of an absent one."""
        return self._child(key, {}, f"[{dotted_path(self.heading, key)}]")

    def rows(self, key: str) -> list[Table] | None:
        """The tables of an array, or None where it is absent (no fault) or not an array (a fault)."""
        if not self.has(key):
            return None
        in_row, raw = self.heading.startswith("[["), self.values[key]
        heading = f"{self.heading} {_name(key)}" if in_row else f"[[{dotted_path(self.heading, key)}]]"
        if not isinstance(raw, list) or not all(isinstance(row, dict) for row in raw) or not raw:
            self.fault(key, "not a list of tables", f"write {heading} above each of its entries")
            return None
        if len(raw) > MAX_ROWS:
            self.fault(key, f"{len(raw)} entries", f"give at most {MAX_ROWS}")
            return None
        return [self._child(key, row, f"{heading} {n}") for n, row in enumerate(raw, start=1)]

    def _child(self, name: str, values: Mapping[str, Any], heading: str) -> Table:
        child = Table(
            values, heading, self.faults, self.declared.table(name), materials=self.materials, parent=self
        )
        self.children.append(child)
        return child

    def _value(self, key: Key, advice: str) -> Any:
        if self.has(key.name):
            return self.values[key.name]
        if key.required:
            self.fault(key.name, "missing", advice)
            return None
        return key.default

    def close(self) -> None:
        """Note every key that was never asked for as unknown, here and in all subtables."""
        unknown = [key for key in self.values if key not in self._keys_read]
        for key in unknown[:MAX_UNKNOWN_KEYS]:
            close = _close_matches(key, self._keys_read)
            choose = ", ".join(dict.fromkeys(self._keys_read))
            advice = f"did you mean {close[0]}?" if close else f"known here: {choose}"
            self.faults.add(self.heading, key, "unknown key", advice)
        if len(unknown) > MAX_UNKNOWN_KEYS:
            more = len(unknown) - MAX_UNKNOWN_KEYS
            self.faults.add(self.heading, "", f"and {more} more unknown keys")
        for child in self.children:
            child.close()


def _range_error(
    value: float,
    key: Key,
    number: Callable[[str], float],
    shown: Callable[[str], str] = str,
) -> str | None:
    """Message for a value outside its limits, or None. shown: a limit as the reader has it."""
    above, minimum, maximum = key.above, key.minimum, key.maximum
    low = f"above {shown(above)}" if above else f"at least {shown(minimum)}" if minimum else ""
    high = f"at most {shown(maximum)}" if maximum else ""
    sound = (
        not (above and value <= number(above))
        and not (minimum and value < number(minimum))
        and not (maximum and value > number(maximum))
    )
    return None if sound else "must be " + " and ".join(part for part in (low, high) if part)


def _close_matches(word: str, known: list[str], cutoff: float = 0.5) -> list[str]:
    """Known words close to the one written, nearest first, ignoring case."""
    by_lower_case = {name.lower(): name for name in known}
    near = difflib.get_close_matches(word[:60].lower(), by_lower_case, n=3, cutoff=cutoff)
    return [by_lower_case[name] for name in near]


def _name(key: str) -> str:
    return shortened(key)


def dotted_path(heading: str, key: str) -> str:
    """Dotted path of a key under a heading, as TOML writes it."""
    above = heading.strip("[]")
    name = shortened(key)
    name = name if key.replace("-", "").replace("_", "").isalnum() and key.isascii() else f'"{name}"'
    return f"{above}.{name}" if above else name


_READERS: dict[str, Callable[[Table, Key], Any]] = {
    "number": Table._number,
    "integer": Table._integer,
    "flag": Table._flag,
    "choice": Table._choice,
    **dict.fromkeys(("text", "lengths", "angles"), Table._text),
}
"""What reads a key by its kind; all others are quantities."""
