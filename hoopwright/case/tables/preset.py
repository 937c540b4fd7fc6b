"""[preset]: presets that give the values which the case does not give itself.

What the case gives itself stands; a preset fills the rest, before the tables are read, as if it were
written there. No preset gives a size of the piece, and none adds [service] or [cups].
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any

from hoopwright import presets
from hoopwright.case.faults import Fault, Faults, as_toml
from hoopwright.case.keys import NAME, Key, TableKeys
from hoopwright.case.metal_pair import metal_pair
from hoopwright.case.preset_model import FilledValue, Presets
from hoopwright.case.reader_units import System, quantity_for
from hoopwright.case.table import Table, dotted_path
from hoopwright.materials import Material
from hoopwright.presets import Preset, PresetValue

KINDS = {
    "use": "who rides it: loads of a crank shell in [service], [demand] and [cups]",
    "lubrication": "of the seat when it is put together: friction of [fit], by the two metals",
    "cups": "kind of cups: tightening torque of [cups.left] and [cups.right]",
    "cup_threads": "friction of their threads and flanges in [cups]",
    "press": "capacity, ram and gauge of [press]",
}
"""Keys of [preset], each with the name of one preset."""
ADDED = ("fit", "demand", "press", "gauge")
"""Tables that a preset adds where the case has none; the others say what the piece is, or what loads it."""
IN_PLACE_OF = {"max_error": ("accuracy", "coverage")}
"""Keys that a case may give in the place of another, which is then not filled in."""
PUSH = "push"
"""Method of [press] where it gives none."""
MAX_NAMED = 3
"""Keys that a fault names one by one."""
MAX_LISTED = 6
"""Names of presets that a fault of an unknown one lists without being asked to."""


def _key(kind: str, name: str, meaning: str) -> Key:
    known = presets.table()[kind]
    every = f"there are: {', '.join(known)}" if len(known) > MAX_LISTED else ""
    first = next(iter(known))
    return Key(name, "choice", meaning, first, default=None, options=known, what="preset", see=every)


KEYS = TableKeys(
    "preset",
    "presets that give what the case does not give itself; `hoopwright presets` lists them",
    keys=tuple(_key(kind, kind, meaning) for kind, meaning in KINDS.items()),
    tables=(
        TableKeys(
            "gauge",
            "presets of measuring instruments, by the name of the gauge",
            keys=(_key("gauge", NAME, "all of [gauge.NAME]"),),
        ),
    ),
)


@dataclass(frozen=True)
class _Chosen:
    """A preset that a case names. gauge: the [gauge.NAME] it is for, or ""; unknown: the name is none, and
    this is the first preset of its kind."""

    preset: Preset
    gauge: str = ""
    unknown: bool = False

    def path(self, value: PresetValue) -> tuple[str, ...]:
        return (*value.table, self.gauge) if self.gauge else value.table


@dataclass(frozen=True)
class Filling:
    """What presets filled in. stand_ins: values in the place of presets that are not known, or that know no
    friction of the two metals, so that what those would give is not called missing."""

    presets: Presets
    stand_ins: tuple[FilledValue, ...]


def fill_in(root: Table, values: dict[str, Any]) -> Filling:
    """Fill the presets that the case names into its tables, which this changes. values: those of root."""
    table = root.subtable("preset")
    if table is None:
        return Filling(Presets(), ())
    metals = [_material(root, values.get(part)) for part in ("shell", "sleeve")]
    pair = metal_pair(*metals)
    filled: list[FilledValue] = []
    stand_ins: list[FilledValue] = []
    notes: list[str] = []
    for chosen in _chosen(table):
        _check_method(table, chosen, values)
        found = list(_filled(chosen, values, pair))
        if chosen.unknown:
            stand_ins += found
            continue
        filled += found
        pairs = [v.pair for v in chosen.preset.values if v.pair]
        if pairs and pair not in pairs and not _gives_friction(values):
            if None not in metals:  # else that is the fault
                _note_unknown_pair(table)
            stand_ins += _filled(chosen, values, pairs[0])
            continue
        notes += _notes(chosen, found, values)
    return Filling(Presets(tuple(filled), tuple(notes)), tuple(stand_ins))


def _chosen(table: Table) -> Iterator[_Chosen]:
    known = presets.table()
    for kind in KINDS:
        if table.has(kind):
            yield _choice(table, kind, known[kind])
    gauges = table.subtable("gauge")
    if gauges is not None:
        for name in gauges.values:
            yield replace(_choice(gauges, name, known["gauge"]), gauge=name)


def _choice(table: Table, key: str, options: Mapping[str, Preset]) -> _Chosen:
    found = table.get(key)
    return _Chosen(found or next(iter(options.values())), unknown=found is None)


def _filled(chosen: _Chosen, values: dict[str, Any], pair: str) -> Iterator[FilledValue]:
    """Fill in what the case does not give, and yield it. A use loads crank shells alone."""
    if chosen.preset.kind == "use" and not _may_be_crank_shell(values):
        return
    for value in chosen.preset.values:
        path = chosen.path(value)
        if value.pair not in ("", pair):
            continue
        target = _table_at(values, path)
        if target is None or {value.key, *IN_PLACE_OF.get(value.key, ())} & set(target):
            continue
        target[value.key] = value.value
        yield FilledValue(
            f"[{reduce(dotted_path, path, '')}]",
            value.key,
            value.value,
            chosen.preset.kind,
            chosen.preset.name,
            value.basis,
            value.source,
            value.pair,
        )


def _may_be_crank_shell(values: Mapping[str, Any]) -> bool:
    """Whether the case has cups under [service], or nothing there that a crank shell has not."""
    service = values.get("service", {})
    if not isinstance(service, dict) or "none" in service:
        return False
    return "left_cup" in service or "right_cup" in service or "bearing" not in service


def _table_at(values: dict[str, Any], path: tuple[str, ...]) -> dict[str, Any] | None:
    """The table at a path, added where presets add it; None where there is none."""
    table = values
    for step in path:
        if path[0] in ADDED:
            table.setdefault(step, {})
        table = table.get(step)  # type: ignore[assignment]
        if not isinstance(table, dict):
            return None
    return table


def _gives_friction(values: Mapping[str, Any]) -> bool:
    fit = values.get("fit")
    return isinstance(fit, dict) and {"friction_low", "friction_high"} <= set(fit)


def _material(root: Table, part: Any) -> Material | None:
    """The material that a raw table names; None where it names none that is known."""
    key = part.get("material") if isinstance(part, dict) else None
    return root.materials.get(key) if isinstance(key, str) else None


def _check_method(table: Table, chosen: _Chosen, values: Mapping[str, Any]) -> None:
    """Note a preset that holds for another way of putting the sleeve in."""
    press, wanted = values.get("press"), chosen.preset.method
    method = press.get("method", PUSH) if isinstance(press, dict) else PUSH
    if wanted and not chosen.unknown and method != wanted:
        problem = f'holds only for a sleeve put in by [press] method = "{wanted}"'
        table.fault(chosen.preset.kind, problem, "choose another, or change the method")


def _note_unknown_pair(table: Table) -> None:
    table.fault(
        "lubrication",
        "no friction is known of the metals of shell and sleeve",
        "give friction_low and friction_high under [fit], and leave this out",
    )


def _notes(chosen: _Chosen, found: list[FilledValue], values: Mapping[str, Any]) -> Iterator[str]:
    """Why a preset found nothing to fill in, or not all of what it is for."""
    preset = chosen.preset
    name = FilledValue("", "", "", preset.kind, preset.name, "", "").preset
    if preset.kind == "use" and not _may_be_crank_shell(values):
        yield f"{name}: no load to fill in; a use loads the cups of a crank shell, and this case has none"
    elif preset.kind == "use" and "service" not in values:
        yield f"{name}: no load in use is filled in, since [service] does not say where cups and tubes are"
    elif preset.kind in ("cups", "cup_threads") and "cups" not in values:
        yield f"{name}: nothing to fill in, since the case has no [cups]"
    elif any(v.key == "ram_diameter" for v in found):
        yield f"{name}: what the gauge shows rests on its ram; measure yours and give ram_diameter"
    elif not found:
        yield f"{name}: nothing to fill in, since the case gives all of it itself"


def name_presets(faults: Faults, filling: Filling, system: System) -> None:
    """Say in each fault that a filled value causes, or may cause, which preset it comes from; leave out
    those that a stand-in causes."""
    faults.found = [
        _naming(fault, filling.presets.filled, system)
        for fault in faults.found
        if not any(_speaks_of(fault, v) for v in filling.stand_ins)
    ]


def _speaks_of(fault: Fault, value: FilledValue) -> bool:
    return value.heading == fault.table and (value.key == fault.key or value.key in fault.problem)


def _naming(fault: Fault, filled: tuple[FilledValue, ...], system: System) -> Fault:
    whole = not fault.key or fault.problem == "missing"
    causes = [v for v in filled if _speaks_of(fault, v) or (whole and v.heading == fault.table)]
    if not causes:
        return fault
    own = next((v for v in causes if v.key == fault.key), None)
    keys = [v.key for v in causes]
    what = ", ".join(keys) if len(keys) <= MAX_NAMED else f"{keys[0]} and others"
    names = " and ".join(dict.fromkeys(f'{v.kind} = "{v.name}"' for v in causes))
    told = f"{what} from the preset {names}, which a value of your own overrides"
    return replace(
        fault,
        advice="; ".join(part for part in (fault.advice, told) if part),
        given=fault.given if own is None else as_toml(quantity_for(own.value, system)),
    )
