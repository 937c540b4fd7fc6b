"""What taking, correcting and dropping readings changes in a case.

A station is written with its first reading and grows with every other: a row without a value is no row to
the reader of cases. The first reading of a land takes the place of the size that was typed for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians

from hoopwright.case.read import lands_read
from hoopwright.case.reader_units import system_of
from hoopwright.errors import HoopwrightError
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.measured.suspects import Suspect
from hoopwright.page.edit import edited
from hoopwright.page.model import Bench, Edit
from hoopwright.page.paths import path_to, value_at
from hoopwright.page.read_lands import LandPlace, ReadStation
from hoopwright.page.typed_size import Size, in_unit

SIZE_KEYS = ("diameter", "diameter_from", "diameter_to", "plus_minus")


@dataclass(frozen=True)
class Taken:
    """A reading that was typed: its station, which of its slots, and the size."""

    station: ReadStation
    at: int
    size: Size


def land_path(land: LandPlace) -> str:
    """The path of the table of a land, also of one that has none yet."""
    return land.path if land.index is not None else path_to(land.part, land.surface, 0)


def row_path(land: LandPlace, row: int) -> str:
    return f"{land_path(land)}.readings[{row}]"


def taking(bench: Bench, land: LandPlace, gauge: str, taken: Sequence[Taken]) -> tuple[Edit, ...]:
    """Edits that put readings into a case, those of one station together."""
    edits = [] if land.rows else _listing(bench, land, gauge)
    rows = len(land.rows)
    by_station: dict[str, list[Taken]] = {}
    for one in taken:
        by_station.setdefault(one.station.key, []).append(one)
    own_gauge = bool(land.rows) and not land.gauge
    for found in by_station.values():
        station = found[0].station
        row = station.row
        if row is None:
            row, rows = rows, rows + 1
            edits.append(Edit(f"{row_path(land, row)}.z", station.written))
            if own_gauge and gauge:
                edits.append(Edit(f"{row_path(land, row)}.gauge", gauge))
        edits += _row_edits(bench, row_path(land, row), station, found)
    return (*edits, *_no_longer_confirmed(bench, land, tuple(edits)))


def places_of(land: LandPlace, taken: Sequence[Taken]) -> list[tuple[int, int]]:
    """Row and place there that each of several readings will have."""
    rows: dict[str, int] = {}
    grown: dict[str, int] = {}
    found = []
    for one in taken:
        station, key, slot = one.station, one.station.key, one.station.slots[one.at]
        row = station.row if station.row is not None else rows.setdefault(key, len(land.rows) + len(rows))
        place = slot.place
        if place is None:
            place = len(station.read) + grown.get(key, 0)
            grown[key] = grown.get(key, 0) + 1
        found.append((row, place))
    return found


def _listing(bench: Bench, land: LandPlace, gauge: str) -> list[Edit]:
    """A land with a typed size becomes one with readings."""
    at = land_path(land)
    if land.index is None:
        keys = (f"{land.surface}_diameter", f"{land.surface}_plus_minus")
        gone = [path_to(land.part, key) for key in keys]
        edits = [Edit(f"{at}.from", land.ends[0]), Edit(f"{at}.to", land.ends[1])]
    else:
        gone, edits = [f"{at}.{key}" for key in SIZE_KEYS], []
    dropped = [Edit(path, "") for path in gone if value_at(bench.tables, path) is not None]
    edits += [Edit(f"{at}.gauge", gauge)] if gauge and not land.gauge else []
    warm = bench.asked.get("part_temperature", "").strip()
    if warm and value_at(bench.tables, f"{at}.part_temperature") is None:
        edits.append(Edit(f"{at}.part_temperature", warm))
    return [*dropped, *edits]


def _row_edits(bench: Bench, path: str, station: ReadStation, taken: Sequence[Taken]) -> list[Edit]:
    read = sorted(station.read, key=lambda slot: slot.place or 0)
    unit = read[0].unit if read else taken[0].size.unit
    numbers = [slot.number for slot in read]
    angles = _angles(bench, path)
    noted = not read or bool(angles[0])
    for one in taken:
        slot = station.slots[one.at]
        if slot.place is not None:
            numbers[slot.place] = in_unit(one.size, unit)
            continue
        numbers.append(in_unit(one.size, unit))
        if noted and slot.angle is not None:
            angles[0].append(_angle(slot.angle, angles[1]))
    return [*_angle_edits(path, angles), Edit(f"{path}.values", " ".join((*numbers, unit)))]


def _angles(bench: Bench, path: str) -> tuple[list[str], str]:
    """The clock angles of a row as written, and their unit."""
    text = value_at(bench.tables, f"{path}.angles")
    *numbers, unit = text.split() if isinstance(text, str) and text.split() else ["deg"]
    return numbers, unit


def _angle(angle: float, unit: str) -> str:
    return f"{angle:g}" if unit == "deg" else f"{radians(angle):.10g}"


def _angle_edits(path: str, angles: tuple[list[str], str]) -> list[Edit]:
    return [Edit(f"{path}.angles", " ".join((*angles[0], angles[1])))] if angles[0] else []


def without_station(bench: Bench, land: LandPlace, row: int) -> tuple[Edit, ...]:
    """Edits that take a station and all its readings away."""
    gone = (Edit(row_path(land, row), ""),)
    return (*_no_longer_confirmed(bench, land, gone, without=row), *gone)


def _no_longer_confirmed(
    bench: Bench, land: LandPlace, edits: tuple[Edit, ...], without: int | None = None
) -> list[Edit]:
    """What a person confirmed stays so only where nothing else stands out at that station: a reading that
    is new, or that stands out only beside what is read elsewhere, was not looked at when they did. without:
    row that the edits take away."""
    before, after = _standing_out(bench, land, ()), _standing_out(bench, land, edits)
    confirmed = [k for k, row in enumerate(land.rows) if row.get("confirmed") is True and k != without]
    paths = [
        f"{row_path(land, k)}.confirmed"
        for k in confirmed
        if not after[k - (without is not None and k > without)] <= before[k]
    ]
    return [Edit(path, "") for path in paths]


class _Places(dict[int, set[tuple[int, str]]]):
    """What stands out, by row: which of its values, and how it is written."""

    def __missing__(self, row: int) -> set[tuple[int, str]]:
        return set()


def _standing_out(bench: Bench, land: LandPlace, edits: Sequence[Edit]) -> _Places:
    found = _Places()
    measured = measured_with(bench, land, edits)
    for one in () if measured is None else measured.outliers:
        found[one.station] = found[one.station] | {(one.place, one.written)}
    return found


def measured_with(bench: Bench, land: LandPlace, edits: Sequence[Edit]) -> MeasuredLand | None:
    """What a land comes to once edits are made; None where they cannot be, or it cannot be evaluated."""
    system = system_of(bench.units.system)
    try:
        text = edited(bench.text, [(one.path, one.typed) for one in edits], system, file=bench.file)
    except HoopwrightError:
        return None
    lands = lands_read(text, file=bench.file)
    return next((one for one in lands if (one.part, one.surface, one.index) == land.identity), None)


def open_suspects(measured: MeasuredLand | None) -> tuple[Suspect, ...]:
    """The readings of a land that stand out and are not confirmed."""
    return () if measured is None else tuple(one for one in measured.outliers if not one.confirmed)


def dropping(bench: Bench, land: LandPlace, station: ReadStation, at: int) -> tuple[Edit, ...]:
    """Edits that take a reading away, and its station with its last one."""
    assert station.row is not None
    path, gone = row_path(land, station.row), station.slots[at].place
    read = sorted(station.read, key=lambda slot: slot.place or 0)
    if len(read) == 1:
        return without_station(bench, land, station.row)
    left = [slot.number for slot in read if slot.place != gone]
    numbers, unit = _angles(bench, path)
    angles = [one for k, one in enumerate(numbers) if k != gone]
    edits = (*_angle_edits(path, (angles, unit)), Edit(f"{path}.values", " ".join((*left, read[0].unit))))
    return (*edits, *_no_longer_confirmed(bench, land, edits))


def giving_a_size(bench: Bench, land: LandPlace, diameter: str, plus_minus: str) -> tuple[Edit, ...]:
    """Edits that put a typed size in the place of all readings of a land."""
    at = land_path(land)
    sizes = Edit(f"{at}.diameter", diameter), Edit(f"{at}.plus_minus", plus_minus)
    return (*_without_readings(bench, land), *sizes)


def _without_readings(bench: Bench, land: LandPlace) -> tuple[Edit, ...]:
    """Edits that switch off all readings of a land, and how they were taken."""
    at = land_path(land)
    conditions = ("gauge", "part_temperature", "temperature_plus_minus")
    gone = [f"{at}.readings", *(f"{at}.{key}" for key in conditions)]
    return tuple(Edit(path, "") for path in gone if value_at(bench.tables, path) is not None)


def no_size_instead(bench: Bench, land: LandPlace) -> str:
    """Why a size cannot be put in the place of the readings of a land, as the file is written; "" where it
    can."""
    edits = [(one.path, one.typed) for one in _without_readings(bench, land)]
    try:
        edited(bench.text, edits, system_of(bench.units.system), file=bench.file)
    except HoopwrightError as error:
        fault = error.faults[0]
        return "; ".join(part for part in (fault.problem, fault.advice) if part)
    return ""


def no_longer_so(land: LandPlace, row: int) -> tuple[Edit, ...]:
    """Edits that take back what a person confirmed at a station."""
    return (Edit(f"{row_path(land, row)}.confirmed", ""),)
