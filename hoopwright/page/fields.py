"""Fields: what a case gives for a key, as typed, where it comes from and what is wrong with it."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal
from urllib.parse import urlencode

from hoopwright.case.keys import Key
from hoopwright.case.reader_units import System, example_for, quantity_for
from hoopwright.display.presets import grounds_text
from hoopwright.errors import Fault
from hoopwright.materials import table
from hoopwright.page import as_typed
from hoopwright.page.from_presets import filled_values, offered_values
from hoopwright.page.model import Bench
from hoopwright.page.paths import declared_at, heading_at, path_to, steps_of, value_at

State = Literal["rest", "fault", "readings", "preset", "nothing"]
Entry = Literal["quantity", "text", "long text", "choice", "flag"]
WHOLE_SURFACE = re.compile(r"(outside|bore)_diameter")


@dataclass(frozen=True)
class Choice:
    """One of the values that a field may take. note: what it stands for."""

    value: str
    text: str
    chosen: bool = False
    note: str = ""


@dataclass(frozen=True)
class FieldView:
    """One key of the case as a form.

    path: of the key. id: of the form. typed: what stands in it. unit: shown beside it and meant by a bare
    number, as a case writes it; shown_unit: as a person does. state: where the value comes from. note: what
    is to be said of it. fault: what is wrong, in the words of the command line. echo: the same in the other
    system. step: of the arrow keys, in step_unit. given: whether the file itself gives it. href: where
    readings are. instead: value that a preset has in place of one's own. glyph: its letter on a drawing.
    """

    path: str
    id: str
    label: str
    typed: str
    unit: str = ""
    shown_unit: str = ""
    state: State = "rest"
    note: str = ""
    fault: str = ""
    echo: str = ""
    entry: Entry = "text"
    choices: tuple[Choice, ...] = ()
    step: str = ""
    step_unit: str = ""
    signed: bool = False
    given: bool = False
    required: bool = False
    href: str = ""
    instead: str = ""
    glyph: str = ""
    file: str = ""
    digest: str = ""
    query: str = ""
    of_step: str = ""


def field_id(path: str) -> str:
    """The id of the form of a path. Names of the user's own may differ in characters that no id has."""
    slug = re.sub(r"[^a-z0-9]+", "-", path.lower()).strip("-")
    return f"f-{slug}" if '"' not in path else f"f-{slug}-{zlib.crc32(path.encode()):x}"


def field(bench: Bench, path: str, label: str, *, step: str = "sizes", glyph: str = "") -> FieldView:
    """The field of a path. step: of the page that it stands on, to which its form returns."""
    key = declared_at(path)
    plain = FieldView(
        path,
        field_id(path),
        label,
        "",
        entry=_entry(key),
        signed=as_typed.is_signed(key),
        required=key.required,
        glyph=glyph,
        file=bench.file,
        digest=bench.seen,
        query=bench.query,
        of_step=step,
    )
    made = _from_readings(bench, path, plain) or _as_given(bench, path, key, plain)
    return _with_faults(bench, path, made)


def _entry(key: Key) -> Entry:
    if as_typed.is_quantity(key) or key.kind in ("number", "integer"):
        return "quantity"
    if key.kind in ("choice", "flag"):
        return "choice" if key.kind == "choice" else "flag"
    return "long text" if key.max_length > 200 else "text"


def system_shown(bench: Bench) -> System:
    return "inch" if bench.units.system == "inch" else "metric"


def _as_given(bench: Bench, path: str, key: Key, plain: FieldView) -> FieldView:
    own = value_at(bench.tables, path)
    if isinstance(own, Mapping | list):
        return replace(
            plain, typed="a table", state="readings", note="a table of its own: change it in the file"
        )
    offered = offered_values(bench).get(path)
    if own is not None:
        instead = note = ""
        if offered is not None:
            instead = as_typed.in_print(str(quantity_for(offered.value.value, system_shown(bench))))
            note = f"yours, in place of {instead} of the preset {offered.preset}"
        return _with_value(bench, key, plain, own, given=True, note=note, instead=instead)
    heading, name = heading_at(path)
    filled = next((v for v in filled_values(bench) if (v.heading, v.key) == (heading, name)), None)
    if filled is not None:
        value = quantity_for(filled.value, system_shown(bench))
        grounds = bench.units.first(grounds_text(filled.basis, filled.source))
        note = f"preset: {filled.preset}; {grounds}"
        return _with_value(bench, key, plain, value, state="preset", note=note)
    return _with_value(bench, key, plain, None, state="nothing", note=_meaning(bench, key))


def _with_value(bench: Bench, key: Key, plain: FieldView, value: Any, **more: Any) -> FieldView:
    system = system_shown(bench)
    typed, unit = as_typed.split(value, key, system)
    of_number = as_typed.parts_of(as_typed.shown(value))[1]
    if value is None:
        unit = of_number = as_typed.bare_unit(key, system)
    return replace(
        plain,
        typed=typed,
        unit=unit,
        shown_unit=as_typed.written_unit(unit),
        echo=as_typed.echo(value, key),
        step=as_typed.step_of(key, of_number),
        step_unit=of_number,
        choices=tuple(_choices(bench, key, typed)),
        **more,
    )


def _meaning(bench: Bench, key: Key) -> str:
    """What a key that is not given means, and what counts in its place."""
    system, meaning = system_shown(bench), bench.units.first(key.meaning)
    if key.default not in (None, "") and not key.required:
        words = {True: "yes", False: "no"}.get(key.default, "") if key.kind == "flag" else ""
        default = words or as_typed.in_print(example_for(as_typed.shown(key.default), system))
        return f"{meaning}; {default} counts while it is empty"
    if key.kind in ("flag", "choice"):
        return meaning  # its choices stand in the field
    example = example_for(str(key.example), system) if as_typed.is_quantity(key) else str(key.example)
    return f"{meaning}; e.g. {as_typed.in_print(example)}" if example not in ("", meaning) else meaning


def _choices(bench: Bench, key: Key, chosen: str) -> Iterator[Choice]:
    if key.kind == "flag":
        yield Choice("true", "yes", chosen == "true")
        yield Choice("false", "no", chosen == "false")
    elif key.what == "material":
        yield from _materials(bench, chosen)
    elif key.what == "gauge":
        yield from (Choice(name, name, name == chosen) for name in _names(bench, "gauge"))
    else:
        yield from (Choice(name, name, name == chosen) for name in key.options if name)


def _names(bench: Bench, kind: str) -> tuple[str, ...]:
    own = bench.tables.get(kind)
    named = value_at(bench.tables, f"preset.{kind}") if kind == "gauge" else None
    return tuple(dict.fromkeys(n for part in (own, named) if isinstance(part, Mapping) for n in part))


def _materials(bench: Bench, chosen: str) -> Iterator[Choice]:
    for name in _names(bench, "material"):
        yield Choice(name, f"{name}, of this case", name == chosen)
    for name, material in table().items():
        strength = bench.units.text(material.yield_strength, "MPa")
        yield Choice(name, f"{name}, yield {strength}", name == chosen)


def _from_readings(bench: Bench, path: str, plain: FieldView) -> FieldView | None:
    """A diameter that comes from the readings of its land, or None."""
    *above, last = steps_of(path)
    if len(above) != 3 or last not in ("diameter", "plus_minus"):
        return None
    rows = value_at(bench.tables, path_to(*above, "readings"))
    if not isinstance(rows, list):
        return None
    part, surface, index = above
    size = ""
    if bench.case is not None:
        lands = bench.case.shell_measured if part == "shell" else bench.case.sleeve_measured
        found = next(m for m in lands if (m.surface, m.index) == (surface, index))
        size = (
            bench.units.text(found.diameter, "mm")
            if last == "diameter"
            else bench.units.text(1e3 * found.plus_minus, "um")
        )
    count = sum(_count(row) for row in rows)
    href = f"readings?{urlencode({'land': path_to(*above)})}"
    return replace(
        plain, typed=size or "not read", state="readings", note=f"from {count} readings", href=href
    )


def _count(row: Any) -> int:
    values = row.get("values") if isinstance(row, Mapping) else None
    return max(len(values.split()) - 1, 0) if isinstance(values, str) else 0


def _with_faults(bench: Bench, path: str, made: FieldView) -> FieldView:
    """The field with what is wrong there: what was typed and not taken, else what stands in the file."""
    refused = getattr(bench, "rejected", {}).get(path)
    if refused is not None:
        typed, words = refused
        in_use = " ".join(part for part in (made.typed, made.shown_unit) if part)
        note = f"in use: {in_use}" if in_use else made.note
        return replace(made, typed=typed, state="fault", fault=words, note=note, echo="")
    faults = [fault for fault in bench.faults if stands_at(fault, path)]
    if faults and made.state == "nothing" and all(is_missing(fault) for fault in faults):
        return replace(made, required=True, note=f"wanted: {made.note}")
    words = "; ".join(dict.fromkeys(map(words_of, faults)))
    return replace(made, state="fault", fault=words) if words else made


def is_missing(fault: Fault) -> bool:
    """Whether nothing is wrong but that something is not given yet."""
    return fault.problem.startswith("missing")


def words_of(fault: Fault) -> str:
    """A fault beside its field: the command line's words without the place."""
    return "; ".join(part for part in (fault.problem, fault.advice) if part)


def stands_at(fault: Fault, path: str) -> bool:
    """Whether a fault belongs beside the field of a path. What is wrong with a whole surface stands beside
    its diameter where it has one."""
    heading, key = heading_at(path)
    surface = WHOLE_SURFACE.fullmatch(key)
    names = (key, surface[1]) if surface else (key,)
    return fault.table == heading and fault.key in names


def other_faults(bench: Bench, tables: tuple[str, ...], fields: tuple[FieldView, ...]) -> tuple[str, ...]:
    """Faults of these tables, and of the file as a whole, that no field shows."""
    return tuple(
        str(fault)
        for fault in bench.faults
        if (not fault.table.startswith("[") or _top(fault) in tables)
        and not (is_missing(fault) and not fault.key)  # a whole table: its fields say so
        and not any(stands_at(fault, f.path) for f in fields)
    )


def _top(fault: Fault) -> str:
    return re.split(r"[.\]]", fault.table.lstrip("["))[0]
