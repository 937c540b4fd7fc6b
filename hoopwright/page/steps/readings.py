"""Step 7, Readings: what a gauge shows, one reading after another, doubted while it is typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright import presets
from hoopwright.measured.form_prior import directions
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.page.column import column_of
from hoopwright.page.fields import FieldView, field
from hoopwright.page.model import Bench, Mark, Step
from hoopwright.page.read_lands import evaluated, gauges_of, lands_of, numbers_of
from hoopwright.page.read_place import OF_A_LAND, Here, before, here_of
from hoopwright.page.reading_actions import ACTIONS, READING
from hoopwright.page.take_readings import (
    Taken,
    measured_with,
    no_size_instead,
    open_suspects,
    places_of,
    taking,
)
from hoopwright.page.typed_size import DIALS, Size, TypedError, size_of
from hoopwright.page.views import readings as views
from hoopwright.page.views.confirmed_readings import confirmed_stations
from hoopwright.page.views.words import capital, typeset

CONDITIONS = {
    "gauge": "gauge",
    "part_temperature": "temperature of the part",
    "temperature_plus_minus": "known to",
}
ENOUGH_STATIONS, ENOUGH_DIRECTIONS = 3, {2: 3, 3: 2}
"""Stations, and directions by the contact points of the gauge, from which on a land counts as read. They
show taper, bell-mouth and ovality."""


@dataclass(frozen=True)
class LandLink:
    name: str
    said: str
    url: str
    current: bool


@dataclass(frozen=True)
class Typed:
    """What stands in the entry. size: that it comes to, with its unit; fault: why it is none. measured: the
    land with it in its place; place: its row and which value it is there."""

    text: str = ""
    size: Size | None = None
    fault: str = ""
    measured: MeasuredLand | None = None
    place: tuple[int, int] | None = None

    @property
    def takes(self) -> str:
        return f"{self.size.number} {self.size.unit}" if self.size is not None else ""


def view(bench: Bench) -> Mapping[str, Any]:
    here = here_of(bench)
    base = {
        "file": bench.file,
        "digest": bench.seen,
        "faults": _faults(bench),
        "here": here,
        "lands": tuple(_land_links(here)) if here is not None else (),
    }
    if here is None:
        return base
    typed = _typed(here)
    measured = typed.measured or here.measured
    fields = _conditions(here)
    entry = _entry(here, typed, fields)
    return {
        **base,
        "title": capital(here.land.name),
        "unread": tuple(one.written or "?" for one in here.stations if one.faulty),
        "count": _count(here),
        "strip": views.strip(here, here.measured),
        "entry": entry,
        "refused": () if entry else _refused(here, fields),
        "typed": typed,
        "doubts": views.doubts(here, measured, typed.place),
        "confirmed": confirmed_stations(here, measured),
        "more_doubts": max(len(open_suspects(measured)) - views.SHOWN_DOUBTS, 0),
        "face": views.face(here, measured, typed.size),
        "face_says": views.face_says(here, measured),
        "rows": views.table(here, here.shown, here.measured) if here.shown is not None else (),
        "off_unit": bench.units.label("um"),
        "came": views.came_to(here.measured, bench.units) if here.measured is not None else (),
        "budget": views.budget(here.measured, bench.units) if here.measured is not None else (),
        "notes": views.blind_spots(here.measured, bench.units) if here.measured is not None else (),
        "conditions": fields,
        "plan": _plan(here),
        "column": bench.asked.get("column", ""),
        "no_size_instead": no_size_instead(bench, here.land),
        "lines": column_of(here, bench.asked.get("column", "")),
        "kept": tuple(here.asked().items()),
        "kept_by_plan": tuple((k, v) for k, v in here.asked().items() if not _is_of_plan(k, here.gauge)),
    }


def _faults(bench: Bench) -> tuple[str, ...]:
    """Faults of what is read and of the gauges; the rest keeps no reading from being taken."""
    headings = ("[[shell.bore]]", "[[sleeve.outside]]", "[[shell.outside]]", "[gauge", "[preset")
    own = [f for f in bench.faults if not f.table.startswith("[") or f.table.startswith(headings)]
    lines = [str(fault) for fault in own]
    others = len(bench.faults) - len(own)
    if others:
        kept = "is one fault" if others == 1 else f"are {others} faults"
        lines.append(f"There {kept} elsewhere in the case. Readings are taken all the same.")
    return tuple(lines)


def _land_links(here: Here) -> list[LandLink]:
    found = []
    for land in here.lands:
        count = sum(
            len(row["values"].split()) - 1 for row in land.rows if isinstance(row.get("values"), str)
        )
        said = (
            f"{count} read"
            if land.rows
            else f"typed {land.size}: read it instead"
            if land.size
            else "read it"
        )
        found.append(
            LandLink(capital(land.name), said, here.address(land=land), land.path == here.land.path)
        )
    return found


def _count(here: Here) -> str:
    read = sum(len(one.read) for one in here.stations)
    return f"{read} of {sum(len(one.slots) for one in here.stations)} read"


def _typed(here: Here) -> Typed:
    """What is typed and not sent, and the land as it would be with it."""
    text = here.bench.asked.get("typed", "")[:200]
    if here.station is None or not text.strip():
        return Typed(text)
    try:
        size = size_of(text, here.way, expected=here.expected)
    except TypedError as error:
        return Typed(text, fault=str(error))
    taken = (Taken(here.station, here.at, size),)
    edits = taking(here.bench, here.land, here.gauge, taken)
    (place,) = places_of(here.land, taken)
    return Typed(text, size, "", measured_with(here.bench, here.land, edits), place)


def _entry(here: Here, typed: Typed, fields: tuple[FieldView, ...]) -> Mapping[str, Any] | None:
    """The entry of the reading in hand; None where nothing is left to be read."""
    if here.station is None or not here.station.slots:
        return None
    slot = here.station.slots[here.at]
    text, words = here.bench.rejected.get(READING, (typed.text, typed.fault))
    angle = f"{slot.angle:g}°" if slot.angle is not None else "next"
    return {
        "id": f"reading-{here.station.key}-{here.at}".replace(" ", "-").replace(".", "-"),
        "head": typeset(f"{_ordinal(here.at + 1)} of {len(here.station.slots)}: {angle}"),
        "how": typeset(f"{views.direction(here, slot.angle)}; z {here.bench.units.along(here.station.z)}"),
        "with": _with_what(here),
        "typed": text,
        "fault": "; ".join(part for part in (words, *_not_taken(here, fields)) if part),
        "unit": here.way.shown_unit,
        "signed": here.way.off_a_ring,
        "now": typeset(f"{slot.number} {slot.unit}") if slot.is_read else "",
        "at": here.address(station=here.station.key, at=str(here.at)),
        "before": before(here),
        "focus": "station" in here.bench.asked,
    }


def _refused(here: Here, fields: tuple[FieldView, ...]) -> tuple[str, ...]:
    """Why what was asked for was not done, where no entry can say so."""
    _, words = here.bench.rejected.get(READING, ("", ""))
    return tuple(part for part in (words, *_not_taken(here, fields)) if part)


def _not_taken(here: Here, fields: tuple[FieldView, ...]) -> list[str]:
    """What was not written, but for fields that say so themselves."""
    own = {READING, *(f.path for f in fields)}
    return [f"{path}: {said}" for path, (_, said) in here.bench.rejected.items() if path not in own]


def _ordinal(number: int) -> str:
    ending = (
        {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if number % 100 not in (11, 12, 13) else "th"
    )
    return f"{number}{ending}"


def _with_what(here: Here) -> str:
    if not here.gauge:
        return "No gauge is chosen yet."
    how = f"dial against the {here.way.ring} ring" if here.way.off_a_ring else "whole size"
    return typeset(f"{here.gauge}, {how}")


def _conditions(here: Here) -> tuple[FieldView, ...]:
    if not here.land.rows or here.land.index is None:
        return ()
    return tuple(
        field(here.bench, f"{here.land.path}.{key}", label, step="readings")
        for key, label in CONDITIONS.items()
    )


def _plan(here: Here) -> Mapping[str, Any]:
    """The form of stations, angles and the way to read, as it stands."""
    asked, bench = here.bench.asked, here.bench
    unit = "in" if bench.units.system == "inch" else "mm"
    faults = {
        key: numbers_of(asked.get(key, ""), bench, kind)[1]
        for key, kind in (("stations", "length"), ("angles", "angle"))
    }
    places = " ".join(f"{one.z / (25.4 if unit == 'in' else 1.0):.7g}" for one in here.stations)
    known = gauges_of(bench)
    offered = [name for name in presets.table()["gauge"] if name not in known]
    return {
        "stations": asked.get("stations") or f"{places} {unit}",
        "angles": asked.get("angles") or f"{' '.join(f'{a:g}' for a in here.plan.angles)}°",
        "faults": faults,
        "gauges": () if here.land.rows else known,
        "gauge": here.gauge,
        "temperature": None if here.land.rows else asked.get("part_temperature", ""),
        "dials": tuple(DIALS.items()),
        "dial": here.way.dial,
        "ring": asked.get(f"ring {here.gauge}", ""),
        "ring_fault": here.way.fault,
        "open": bool(here.way.fault or any(faults.values()) or not here.gauge),
        "presets": tuple((f'preset.gauge."{name}"', name) for name in offered),
    }


def _is_of_plan(key: str, gauge: str) -> bool:
    """Whether the form of the plan says this part of an address itself."""
    return key in (*OF_A_LAND, f"dial {gauge}", f"ring {gauge}")


def mark(bench: Bench) -> Mark:
    lands, found = lands_of(bench), evaluated(bench)
    headings = ("[[shell.bore]]", "[[sleeve.outside]]", "[[shell.outside]]", "[gauge")
    if READING in bench.rejected or any(
        "readings" in f"{fault.table} {fault.key}" and fault.table.startswith(headings)
        for fault in bench.faults
    ):
        return "fault"
    read = [land for land in lands if land.rows]
    if not read:
        return "nothing"
    bores = [land for land in lands if land.surface == "bore"]
    whole = all(_is_enough(found.get(land.identity)) for land in read) and all(land.rows for land in bores)
    return "given" if whole else "partly"


def _is_enough(measured: MeasuredLand | None) -> bool:
    """Whether a land was read where it can show its form, with nothing in doubt."""
    if measured is None or open_suspects(measured):
        return False
    readings = measured.readings
    stations = len({round(one.z, 3) for one in readings.stations})
    contacts = min(one.gauge.contacts for one in readings.stations)
    round_it = directions(readings) if contacts == 2 else min(len(one.values) for one in readings.stations)
    return stations >= ENOUGH_STATIONS and round_it >= ENOUGH_DIRECTIONS[contacts]


STEP = Step("readings", 7, "Readings", "At the machine", ("check",), view, mark, ACTIONS)
