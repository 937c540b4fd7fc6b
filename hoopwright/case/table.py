"""Typed access to one table of a case file, noting faults instead of raising them.

A getter returns the value, or None after noting what is wrong. `build` makes the dataclass only
if the table has no fault so far, so one bad value gives one line and no follow-up faults.
"""

from __future__ import annotations

import datetime
import difflib
import math
from collections.abc import Callable, Mapping
from functools import partialmethod
from typing import Any, Final, TypeVar

from hoopwright.case import quantity
from hoopwright.case.faults import Faults, as_toml, shortened
from hoopwright.case.reader_units import System, example_for
from hoopwright.geometry.readings import Gauge
from hoopwright.materials import Material

T = TypeVar("T")

REQUIRED: Final = object()
"""Default of a getter whose key must be given."""

MAX_ROWS = 200
MAX_UNKNOWN_KEYS = 10
MAX_TEXT_LENGTH = 4000
ZERO_WIDTH_JOINERS = "\u200c\u200d"
"""Zero-width non-joiner and joiner: invisible, but part of some scripts and pictographs."""


class Table:
    """One table of the file.

    values: as tomllib gives them. heading: as in the file, e.g. "[sleeve]" or "[[shell.bore]] 2".
    materials, gauges: those that may be named, by key; None for a faulty one.
    parent: the table that contains this one.
    """

    def __init__(
        self,
        values: Mapping[str, Any],
        heading: str,
        faults: Faults,
        *,
        materials: Mapping[str, Material | None] | None = None,
        parent: Table | None = None,
    ) -> None:
        self.values, self.heading, self.faults, self.parent = values, heading, faults, parent
        self.materials: Mapping[str, Material | None] = materials or {}
        self.gauges: Mapping[str, Gauge | None] = parent.gauges if parent else {}
        self.sound = True
        self._keys_read: list[str] = []
        self._children: list[Table] = []

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
            self.fault("", str(error))
            return None

    def has(self, key: str) -> bool:
        """Whether the file gives the key, which counts as known from now on."""
        self._keys_read.append(key)
        return key in self.values

    # -- quantities with a unit -------------------------------------------------------------

    def quantity(
        self,
        kind: str,
        key: str,
        *,
        example: str = "",
        default: Any = REQUIRED,
        above: str = "",
        minimum: str = "",
        maximum: str = "",
    ) -> Any:
        """A quantity in the internal unit of its kind; default and limits are texts with a unit."""
        example = example or quantity.KINDS[kind].example
        shown = self.example(example)
        raw = self._value(key, f'write e.g. {_name(key)} = "{shown}"', default)
        if raw is None:
            return None
        try:
            value = quantity.parse(raw, kind, example=example, system=self.system)
        except quantity.QuantityError as error:
            advice = f'write e.g. {_name(key)} = "{shortened(error.suggestion or shown)}"'
            self.fault(key, error.problem, f"{error.hint}; {advice}" if error.hint else advice)
            return None
        broken = _range_error(
            value,
            above,
            minimum,
            maximum,
            lambda text: quantity.parse_limit(text, kind),
            self.example,
        )
        if broken:
            self.fault(key, broken, f'write e.g. {_name(key)} = "{shown}"')
        return None if broken else value

    length = partialmethod(quantity, "length")
    pitch = partialmethod(quantity, "pitch")
    force = partialmethod(quantity, "force")
    torque = partialmethod(quantity, "torque")
    stress = partialmethod(quantity, "stress")
    temperature = partialmethod(quantity, "temperature")
    expansion = partialmethod(quantity, "expansion")
    time = partialmethod(quantity, "time")
    density = partialmethod(quantity, "density")

    # -- plain values -----------------------------------------------------------------------

    def number(
        self,
        key: str,
        *,
        example: float,
        default: Any = REQUIRED,
        above: str = "",
        minimum: str = "",
        maximum: str = "",
    ) -> Any:
        """A plain number, finite and within the limits."""
        advice = f"write e.g. {_name(key)} = {example:g}"
        raw = self._value(key, advice, default)
        if raw is None:
            return None
        if isinstance(raw, str):
            problem: str | None = "text; this is a plain number, without quotes and unit"
        elif isinstance(raw, bool) or not isinstance(raw, int | float):
            problem = "not a number"
        elif abs(raw) > 1e300 or not math.isfinite(raw):
            problem = "not a finite number"
        else:
            problem = _range_error(float(raw), above, minimum, maximum, float)
        if problem:
            self.fault(key, problem, advice)
            return None
        return float(raw)

    def integer(self, key: str, *, minimum: int, maximum: int, default: Any = REQUIRED) -> Any:
        """A whole number from minimum to maximum."""
        advice = f"write a whole number from {minimum} to {maximum}"
        raw = self._value(key, advice, default)
        if raw is None:
            return None
        if isinstance(raw, bool) or not isinstance(raw, int):
            self.fault(key, "not a whole number", advice)
        elif not minimum <= raw <= maximum:
            self.fault(key, "out of range", advice)
        else:
            return raw
        return None

    def flag(self, key: str, *, default: bool) -> Any:
        """true or false."""
        raw = self._value(key, "", default)
        if not isinstance(raw, bool):
            self.fault(key, "neither true nor false", "write true or false, without quotes")
            return None
        return raw

    def text(self, key: str, *, example: str, default: Any = REQUIRED, max_length: int = 200) -> Any:
        """Free text; a TOML date is taken as text. Line breaks are allowed where max_length > 200."""
        advice = f'write e.g. {_name(key)} = "{example}"'
        raw = self._value(key, advice, default)
        if isinstance(raw, datetime.date | datetime.time):
            return raw.isoformat()
        unseen = ZERO_WIDTH_JOINERS + ("\n\t" if max_length > 200 else "")
        if raw is None or raw is default:
            return raw
        if not isinstance(raw, str):
            self.fault(key, "not a text in quotes", advice)
        elif default is REQUIRED and not raw.strip():
            self.fault(key, "empty", advice)
        elif len(raw) > max_length:
            self.fault(key, f"longer than {max_length} characters", "shorten it")
        elif not all(c.isprintable() or c in unseen for c in raw):
            self.fault(key, "contains a control character", "remove it, and keep it on one line")
        else:
            return raw
        return None

    def choice(
        self, key: str, options: Mapping[str, T], *, what: str, see: str = "", default: Any = REQUIRED
    ) -> T | None:
        """One of the named options; the fault of an unknown name lists close ones and where to see all."""
        if default is not REQUIRED and not self.has(key):
            return options[default]
        known = list(options)
        example = f'write e.g. {_name(key)} = "{known[0]}"' if known else see
        raw = self._value(key, example, REQUIRED)
        if raw is None:
            return None
        if isinstance(raw, str) and raw in options:
            return options[raw]
        close = _close_matches(raw, known) if isinstance(raw, str) else []
        named = close or (known if len(known) <= 6 else [])
        advice = "write " + " or ".join(f'"{name}"' for name in named) if named else ""
        self.fault(key, f"not a known {what}", "; ".join(part for part in (advice, see) if part))
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
        return self._child(self.values[key], heading)

    def empty_subtable(self, key: str) -> Table:
        """An empty table, for reading the defaults of an absent one."""
        return self._child({}, f"[{dotted_path(self.heading, key)}]")

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
        return [self._child(row, f"{heading} {n}") for n, row in enumerate(raw, start=1)]

    def _child(self, values: Mapping[str, Any], heading: str) -> Table:
        child = Table(values, heading, self.faults, materials=self.materials, parent=self)
        self._children.append(child)
        return child

    def _value(self, key: str, advice: str, default: Any) -> Any:
        if self.has(key):
            return self.values[key]
        if default is REQUIRED:
            self.fault(key, "missing", advice)
            return None
        return default

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
        for child in self._children:
            child.close()


def _range_error(
    value: float,
    above: str,
    minimum: str,
    maximum: str,
    number: Callable[[str], float],
    shown: Callable[[str], str] = str,
) -> str | None:
    """Message for a value outside its limits, or None. shown: a limit as the reader has it."""
    low = f"above {shown(above)}" if above else f"at least {shown(minimum)}" if minimum else ""
    high = f"at most {shown(maximum)}" if maximum else ""
    sound = (
        not (above and value <= number(above))
        and not (minimum and value < number(minimum))
        and not (maximum and value > number(maximum))
    )
    return None if sound else "must be " + " and ".join(part for part in (low, high) if part)


def _close_matches(word: str, known: list[str]) -> list[str]:
    """Known words close to the one written, nearest first, ignoring case."""
    by_lower_case = {name.lower(): name for name in known}
    near = difflib.get_close_matches(word[:60].lower(), by_lower_case, n=3, cutoff=0.5)
    return [by_lower_case[name] for name in near]


def _name(key: str) -> str:
    return shortened(key)


def dotted_path(heading: str, key: str) -> str:
    """Dotted path of a key under a heading, as TOML writes it."""
    above = heading.strip("[]")
    name = shortened(key)
    name = name if key.replace("-", "").replace("_", "").isalnum() and key.isascii() else f'"{name}"'
    return f"{above}.{name}" if above else name
