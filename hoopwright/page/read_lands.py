"""Lands that can be read with a gauge: where they are, at which stations and angles, and what was read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import degrees
from typing import Any

from hoopwright import presets
from hoopwright.case.quantity import QuantityError, parse
from hoopwright.case.read import lands_read
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.page.model import Bench
from hoopwright.page.paths import path_to, value_at

SURFACES = (("shell", "bore"), ("sleeve", "outside"), ("shell", "outside"))
"""Surfaces of which a case can list readings. The sleeve's bore carries threads and no fit."""
TWO_POINT_ANGLES, THREE_POINT_ANGLES = (0.0, 45.0, 90.0, 135.0), (0.0, 60.0)
"""Clock angles, deg, that are planned where none are given: over half a turn, over a third of one."""
ALONG = (0.15, 0.5, 0.85)
"""Where along a land three stations are planned: they tell a bell-mouth from a taper. Own choice."""
APART = 0.2
"""Share of a land that a planned station keeps from those that were read."""
HOW_TO_WRITE = "write numbers with spaces between them, one unit at the end"
SAME_MM, SAME_DEG = 1e-3, 1e-3
SHORT_MM = 12.0
"""Land below which stations are planned to the half millimetre."""


@dataclass(frozen=True)
class Slot:
    """A reading, taken or to come. angle: degrees, None where none is noted. number, unit: as written, ""
    where it was not read yet. place: which value of its row it is."""

    angle: float | None
    number: str = ""
    unit: str = ""
    place: int | None = None

    @property
    def is_read(self) -> bool:
        return self.place is not None

    @property
    def mm(self) -> float:
        return parse(f"{self.number} {self.unit}", "length")


@dataclass(frozen=True)
class ReadStation:
    """A station. z: mm; written: as in the case. row: which of the land's rows of readings it is, None
    while nothing was read there. faulty: its row cannot be read."""

    z: float
    written: str
    slots: tuple[Slot, ...]
    row: int | None = None
    confirmed: bool = False
    gauge: str = ""
    faulty: bool = False

    @property
    def key(self) -> str:
        """Its name in an address."""
        return f"row {self.row}" if self.row is not None else f"z {self.written}"

    @property
    def read(self) -> tuple[Slot, ...]:
        return tuple(slot for slot in self.slots if slot.is_read)


@dataclass(frozen=True)
class LandPlace:
    """A land of a surface.

    path: of its table in the case, or of the surface that has one diameter over its whole length and no
    table; index: None then. start, end: mm, None where not known; ends: as written in the case. size: its
    diameter as typed, "" where it has readings or none. rows: of readings, as in the file.
    """

    path: str
    part: str
    surface: str
    index: int | None
    name: str
    start: float | None
    end: float | None
    ends: tuple[str, str]
    size: str
    rows: tuple[Mapping[str, Any], ...]
    gauge: str = ""

    @property
    def identity(self) -> tuple[str, str, int]:
        return self.part, self.surface, self.index or 0


@dataclass(frozen=True)
class Plan:
    """Stations, as written, and clock angles at which a land is to be read."""

    stations: tuple[str, ...]
    angles: tuple[float, ...]


def lands_of(bench: Bench) -> tuple[LandPlace, ...]:
    """The lands of a case that have readings or may have them, in the order in which they are read."""
    found: list[LandPlace] = []
    for part, surface in SURFACES:
        table = value_at(bench.tables, part)
        table = table if isinstance(table, Mapping) else {}
        listed = table.get(surface)
        if isinstance(listed, list):
            rows = [(k, row) for k, row in enumerate(listed) if isinstance(row, Mapping)]
            found += (_listed(part, surface, k, row, several=len(listed) > 1) for k, row in rows)
        elif listed is None:
            found.append(_whole(bench, part, surface, table))
    return tuple(found)


def _listed(part: str, surface: str, index: int, row: Mapping[str, Any], *, several: bool) -> LandPlace:
    name = f"{part} {surface}" + (f", land {index + 1}" if several else "")
    ends = _text(row.get("from")), _text(row.get("to"))
    size = " to ".join(_text(row[k]) for k in ("diameter", "diameter_from", "diameter_to") if k in row)
    rows = row.get("readings")
    rows = tuple(one if isinstance(one, Mapping) else {} for one in rows) if isinstance(rows, list) else ()
    return LandPlace(
        path_to(part, surface, index),
        part,
        surface,
        index,
        name,
        length_of(ends[0]),
        length_of(ends[1]),
        ends,
        size,
        rows,
        _text(row.get("gauge")),
    )


def _whole(bench: Bench, part: str, surface: str, table: Mapping[str, Any]) -> LandPlace:
    """A surface that has one diameter, or none yet."""
    if part == "shell":
        ends = "0 in" if bench.tables.get("units") == "inch" else "0 mm", _text(table.get("width"))
    elif bench.case is not None:
        land = bench.case.sleeve.unfaced
        ends = f"{land.outside[0].z_start:.9g} mm", f"{land.outside[-1].z_end:.9g} mm"
    else:
        ends = _text(table.get("start")) or "0 mm", _text(table.get("length"))
    start, end = map(length_of, ends)
    if part == "sleeve" and bench.case is None and start is not None and end is not None:
        end = start + end
        ends = ends[0], f"{end:.9g} mm"
    size = _text(table.get(f"{surface}_diameter"))
    return LandPlace(
        path_to(part, surface), part, surface, None, f"{part} {surface}", start, end, ends, size, ()
    )


def asked_land(bench: Bench, lands: Sequence[LandPlace]) -> LandPlace | None:
    """The land that the address names, else the first that has readings, else the first of all."""
    named = bench.asked.get("land", "")
    by_path = {land.path: land for land in lands}
    same = (land for land in lands if named and named.partition("[")[0] == land.path.partition("[")[0])
    read = (land for land in lands if land.rows)
    return by_path.get(named) or next(same, None) or next(read, None) or next(iter(lands), None)


def evaluated(bench: Bench) -> dict[tuple[str, str, int], MeasuredLand]:
    """What the readings of every land come to, as far as they can be read, whatever else the case lacks."""
    if bench.case is not None:
        found: Sequence[MeasuredLand] = (*bench.case.shell_measured, *bench.case.sleeve_measured)
    else:
        found = lands_read(bench.text, file=bench.file)
    return {(one.part, one.surface, one.index): one for one in found}


def gauges_of(bench: Bench) -> tuple[str, ...]:
    """Names of the gauges that a case describes, or takes from presets."""
    tables = (value_at(bench.tables, "gauge"), value_at(bench.tables, "preset.gauge"))
    return tuple(dict.fromkeys(name for one in tables if isinstance(one, Mapping) for name in one))


def gauge_for(bench: Bench, land: LandPlace) -> str:
    """The gauge that a land is read with: its own, the one asked for, else the likeliest of the case."""
    known = gauges_of(bench)
    of_rows = (_text(row.get("gauge")) for row in reversed(land.rows) if row.get("gauge"))
    own = land.gauge or next(of_rows, "")
    if own or bench.asked.get("gauge") in known:
        return own or bench.asked["gauge"]
    word = "bore" if land.surface == "bore" else "micrometer"
    return next((name for name in known if word in name.lower()), known[0] if known else "")


def contacts_of(bench: Bench, gauge: str) -> int:
    """Contact points of a gauge."""
    own = value_at(bench.tables, path_to("gauge", gauge, "contacts")) if gauge else None
    chosen = value_at(bench.tables, path_to("preset", "gauge", gauge)) if gauge else None
    preset = presets.table()["gauge"].get(chosen) if own is None and isinstance(chosen, str) else None
    values = {value.key: value.value for value in preset.values} if preset is not None else {}
    return 3 if 3 in (own, values.get("contacts")) else 2


def planned(bench: Bench, land: LandPlace, *, contacts: int) -> Plan:
    """Where a land is to be read: as asked, else as it was read, else at three stations all round."""
    stations, _ = numbers_of(bench.asked.get("stations", ""), bench)
    angles, _ = numbers_of(bench.asked.get("angles", ""), bench, "angle")
    turn, usual = (180.0, TWO_POINT_ANGLES) if contacts == 2 else (120.0, THREE_POINT_ANGLES)
    if not angles:
        read = [found for row in land.rows if (found := _angles_of(row)) is not None]
        fullest = max(read, key=len, default=())
        angles = () if set(fullest) <= set(usual) else fullest  # of those some may be still to come
    once: list[float] = []
    for angle in angles or usual:
        if not any(_apart(angle, other, turn) < SAME_DEG for other in once):
            once.append(angle)
    return Plan(stations or _usual_stations(bench, land), tuple(once))


def numbers_of(text: str, bench: Bench, kind: str = "length") -> tuple[tuple[Any, ...], str]:
    """Numbers with one unit at their end, or none: places as a case writes them, or angles in degrees; and
    what is wrong with them."""
    parts = text.replace("°", " deg").split()
    if not parts:
        return (), ""
    plain = "deg" if kind == "angle" else "in" if bench.units.system == "inch" else "mm"
    unit = plain if parts[-1][-1:].isdigit() else parts.pop()
    if not parts:
        return (), f"no number; {HOW_TO_WRITE}"
    try:
        if kind == "angle":
            return tuple(round(degrees(parse(f"{one} {unit}", "angle")), 6) % 360.0 for one in parts), ""
        made = {round(parse(f"{one} {unit}", "length"), 6): f"{one} {unit}" for one in parts}
    except QuantityError as error:
        return (), f"{error.problem}; {HOW_TO_WRITE}"
    return tuple(made[z] for z in sorted(made)), ""


def stations_of(land: LandPlace, plan: Plan, *, contacts: int) -> tuple[ReadStation, ...]:
    """The stations of a land along it: those that were read, with what is still to come, and those
    planned."""
    turn = 180.0 if contacts == 2 else 120.0
    found = [_station(k, row, plan.angles, turn) for k, row in enumerate(land.rows)]
    for written in plan.stations:
        z = length_of(written)
        if z is not None and not any(abs(z - one.z) < SAME_MM for one in found):
            found.append(ReadStation(z, written, tuple(map(Slot, plan.angles))))
    return tuple(sorted(found, key=lambda one: one.z))


def _station(index: int, row: Mapping[str, Any], angles: Sequence[float], turn: float) -> ReadStation:
    written = _text(row.get("z"))
    z, (numbers, unit), own = length_of(written), split_row(row.get("values")), _angles_of(row)
    taken = [Slot(None, number, unit, k) for k, number in enumerate(numbers)]
    faulty = z is None or not unit or (own is not None and len(own) != len(taken))
    slots: list[Slot] = []
    if own is None:
        slots = [*taken, *(Slot(None) for _ in range(len(taken), len(angles)))]
    elif not faulty:
        left = [
            Slot(angle, *(one.number, one.unit, one.place)) for angle, one in zip(own, taken, strict=True)
        ]
        for angle in angles:
            same = (one for one in left if _apart(one.angle or 0.0, angle, turn) < SAME_DEG)
            one = next(same, Slot(angle))
            slots.append(one)
            if one.is_read:
                left.remove(one)
        slots += left
    return ReadStation(
        z or 0.0,
        written,
        tuple(slots),
        index,
        row.get("confirmed") is True,
        _text(row.get("gauge")),
        faulty,
    )


def split_row(text: Any) -> tuple[tuple[str, ...], str]:
    """Numbers and unit of a row of readings; nothing for what is none."""
    *numbers, unit = _text(text).split() or [""]
    try:
        for number in numbers:
            float(number)  # the row has no fractions
            parse(f"{number} {unit}", "length")
        parse(f"1 {unit}", "length")
    except (ValueError, QuantityError):
        return (), ""
    return tuple(numbers), unit


def _angles_of(row: Mapping[str, Any]) -> tuple[float, ...] | None:
    """The clock angles of a row, deg; None where it has none, nothing where they cannot be read."""
    if "angles" not in row:
        return None
    *numbers, unit = _text(row["angles"]).split() or [""]
    try:
        return tuple(round(degrees(parse(f"{one} {unit}", "angle")), 6) for one in numbers)
    except QuantityError:
        return ()


def _apart(one: float, other: float, turn: float) -> float:
    off = (one - other) % turn
    return min(off, turn - off)


def _usual_stations(bench: Bench, land: LandPlace) -> tuple[str, ...]:
    if land.start is None or land.end is None or not land.end > land.start:
        return ()
    length = land.end - land.start
    read = [z for row in land.rows if (z := length_of(_text(row.get("z")))) is not None]
    wanted = max(len(ALONG) - len(read), 0)
    places = [land.start + share * length for share in ALONG]
    apart = [z for z in places if all(abs(z - other) >= APART * length for other in read)]
    return tuple(_place(bench, z, length) for z in apart[:wanted])


def _place(bench: Bench, z: float, length: float) -> str:
    """A place to the step of a rule that suits a land of that length."""
    if bench.units.system == "inch":
        step = 0.05 if length > 2.0 * SHORT_MM else 0.01
        return f"{round(z / 25.4 / step) * step:.2f} in"
    step = 1.0 if length > SHORT_MM else 0.5
    return f"{round(z / step) * step:g} mm"


def length_of(text: str) -> float | None:
    """A length as a case writes it, mm; None for what is none."""
    try:
        return parse(text, "length")
    except QuantityError:
        return None


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""


def all_slots(stations: Sequence[ReadStation]) -> Iterator[tuple[ReadStation, int]]:
    """Every reading of a land by its station and its place there, in the order in which they are taken."""
    for station in stations:
        for at in range(len(station.slots)):
            yield station, at
