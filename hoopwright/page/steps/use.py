"""Step 4, Who uses it: presets with what each fills in, temperatures, press and gauge."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from hoopwright import presets
from hoopwright.case.tables.preset import KINDS
from hoopwright.display.presets import grounds_text, value_text
from hoopwright.page.fields import FieldView, field
from hoopwright.page.from_presets import named_presets, pair_of, place_of
from hoopwright.page.model import Bench, Mark, Step
from hoopwright.page.paths import path_to, value_at
from hoopwright.page.steps.common import Wanted, is_given, mark_of, shared, wanted_temperatures
from hoopwright.page.steps.groups import Group, together
from hoopwright.presets import Preset, PresetValue

TABLES = ("", "preset", "demand", "temperatures", "press", "gauge", "size", "service", "cups", "factors")
TITLES = {
    "use": "Who rides it",
    "lubrication": "Seat while pressing",
    "cups": "Kind of cups",
    "cup_threads": "Threads of the cups",
    "press": "Press",
    "gauge": "Gauge",
}
TEMPERATURES = {
    "temperatures.use_least": "coldest in use",
    "temperatures.use_most": "hottest in use",
    "temperatures.oven": "paint oven, afterwards",
    "temperatures.oven_time": "time in the oven",
}
PRESS = {
    "press.temperature": "parts and shop while pressing",
    "press.enters_from": "sleeve goes in from",
    "press.gauge_unit": "unit of its gauge",
}
MEASURING = {
    "size.gauge": "gauge the sleeve is read with",
    "size.readings": "readings averaged",
    "size.shop_temperature": "part at the machine",
    "size.shop_plus_minus": "uncertainty of that temperature",
}
NO_LOAD = {"service.none": "or why no load goes round it"}
OWN_DEMAND = {
    "demand.axial_force": "push along the axis it must hold",
    "demand.torque": "torque it must hold",
}


@dataclass(frozen=True)
class Filling:
    """One value that a preset fills in. grounds: its basis and source."""

    what: str
    value: str
    grounds: str


@dataclass(frozen=True)
class Option:
    """A preset to choose. name: "" for none of them."""

    name: str
    what: str
    chosen: bool
    fills: tuple[Filling, ...]


@dataclass(frozen=True)
class Kind:
    """Presets of one kind. path: of the key that names one. fields: what they are for. open: the choices
    are shown, as nothing gives any of these values yet."""

    path: str
    title: str
    meaning: str
    options: tuple[Option, ...]
    fields: tuple[FieldView, ...]
    chosen: str
    open: bool
    file: str
    digest: str


def view(bench: Bench) -> Mapping[str, Any]:
    kinds = tuple(_kinds(bench))
    groups: tuple[Group, ...] = (
        Group("Load in use", _fields(bench, NO_LOAD) if _has_no_load(bench) else ()),
        Group("What it must hold besides", _fields(bench, OWN_DEMAND)),
        _temperatures(bench),
        Group("At the press", _fields(bench, PRESS)),
        Group("How the sleeve will be measured", _fields(bench, MEASURING)),
    )
    of_kinds = {f.path for kind in kinds for f in kind.fields}
    groups = tuple(replace(g, fields=tuple(f for f in g.fields if f.path not in of_kinds)) for g in groups)
    fields = (*(f for kind in kinds for f in kind.fields), *(f for g in groups for f in g.fields))
    base = dict(shared(bench, "use", TABLES, fields))
    base["wanted"] = tuple(_wanted(bench))
    return {
        **base,
        "kinds": kinds,
        "groups": tuple(g for g in groups if g.fields),
        "filled": sum(f.state == "preset" for kind in kinds for f in kind.fields),
        "notes": () if bench.case is None else bench.case.presets.notes,
    }


def mark(bench: Bench) -> Mark:
    fit = all(
        field(bench, f"fit.{key}", key).state != "nothing" for key in ("friction_low", "friction_high")
    )
    needed = [fit, is_given(bench, "temperatures.use_least"), is_given(bench, "temperatures.use_most")]
    needed.append("service" in bench.tables)
    return mark_of(bench, TABLES[1:], sum(needed), len(needed))


def _temperatures(bench: Bench) -> Group:
    """The range in use is given at once where there is none; then each end by itself, and the oven."""
    title, note = "Temperatures in use, and the oven", "after assembly, both parts alike"
    fields = _fields(bench, TEMPERATURES)
    return Group(title, fields, note) if "temperatures" in bench.tables else together(title, fields, note)


def _wanted(bench: Bench) -> Iterator[Wanted]:
    yield from wanted_temperatures(bench)
    if "service" not in bench.tables:
        text = "No load in use is given: say below what loads it, or why nothing does."
        yield Wanted(text, "#f-service-none", "Say why nothing does")


def _has_no_load(bench: Bench) -> bool:
    """Whether the case gives no load in use, or says why there is none."""
    return "service" not in bench.tables or value_at(bench.tables, "service.none") is not None


def _fields(bench: Bench, paths: Mapping[str, str]) -> tuple[FieldView, ...]:
    return tuple(field(bench, path, label, step="use") for path, label in paths.items())


def _kinds(bench: Bench) -> Iterator[Kind]:
    """Those that mean something for the piece: rider and cups only where it has cups."""
    chosen = named_presets(bench.tables)
    has_cups = "cups" in bench.tables or value_at(bench.tables, "service.left_cup") is not None
    for kind, meaning in KINDS.items():
        path = path_to("preset", kind)
        if has_cups or kind not in ("use", "cups", "cup_threads") or path in chosen:
            yield _kind(bench, kind, path, TITLES[kind], meaning, chosen.get(path, ""))
    for gauge in _gauges(bench):
        path = path_to("preset", "gauge", gauge)
        meaning = f"all of the gauge {gauge}, which readings and the sleeve's size may name"
        yield _kind(bench, "gauge", path, f"Gauge: {gauge}", meaning, chosen.get(path, ""))


def _gauges(bench: Bench) -> tuple[str, ...]:
    own = bench.tables.get("gauge")
    named = value_at(bench.tables, "preset.gauge")
    lists = (part for part in (own, named) if isinstance(part, Mapping))
    return tuple(dict.fromkeys(str(name) for part in lists for name in part)) or ("micrometer",)


def _kind(bench: Bench, kind: str, path: str, title: str, meaning: str, chosen: str) -> Kind:
    known = presets.table()[kind]
    pair = pair_of(bench)
    none = Option("", "your own values below", not chosen, ())
    options = (none, *(_option(bench, preset, chosen, pair) for preset in known.values()))
    first = known.get(chosen) or next(iter(known.values()))
    places = dict.fromkeys((place_of(path, v), v) for p in (first, *known.values()) for v in p.values)
    labels = {place: _label(value) for place, value in reversed(places)}
    fields = tuple(
        field(bench, place, labels[place], step="use")
        for place in dict.fromkeys(place for place, _ in places)
    )
    empty = all(f.state == "nothing" for f in fields)
    return Kind(path, title, meaning, options, fields, chosen, empty, bench.file, bench.seen)


def _label(value: PresetValue) -> str:
    words = value.key.replace("_", " ")
    side = next((s for s in ("left", "right") if s in value.table), "")
    return f"{words}, {side} cup" if side else words


def _option(bench: Bench, preset: Preset, chosen: str, pair: str) -> Option:
    fills = tuple(
        Filling(
            _label(v),
            value_text(v.value, bench.units),
            bench.units.first(grounds_text(v.basis, v.source)),
        )
        for v in preset.values
        if v.pair in ("", pair)
    )
    return Option(preset.name, preset.what, preset.name == chosen, fills)


STEP = Step("use", 4, "Who uses it", "Plan", ("check",), view, mark)
