"""What step Readings shows of a land: its strip of stations, doubts, table, face, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import astuple, dataclass, replace
from math import cos, radians

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.geometry.readings import LandReadings, Station
from hoopwright.measured.measured_land import MeasuredLand, measured_land
from hoopwright.measured.repeatability import expected_std
from hoopwright.measured.suspects import Suspect
from hoopwright.page.figures.clock_face import ClockFace, Mark, State, clock_face, said
from hoopwright.page.paths import value_at
from hoopwright.page.read_lands import ReadStation, Slot
from hoopwright.page.read_place import Here
from hoopwright.page.take_readings import open_suspects
from hoopwright.page.typed_size import Size, off_the_ring
from hoopwright.page.views.words import MINUS, typeset

SHOWN_DOUBTS = 4
DISTRIBUTIONS = {
    "rectangular": "rectangular, half-width {}",
    "normal": "normal, standard {}",
    "arcsine": "arcsine, half-width {}",
    "product": "product, at most {}",
}
DIRECTIONS = ("forward", "up-forward", "up", "up-rear", "rear", "down-rear", "down", "down-forward")
"""Words at every 45 degrees, seen from the drive side."""


@dataclass(frozen=True)
class StripStation:
    """A station in the strip. dots: a sign for every reading, read, to come or in doubt; said: the same in
    words."""

    z: str
    unit: str
    dots: tuple[str, ...]
    url: str
    current: bool
    said: str


@dataclass(frozen=True)
class Doubt:
    """A reading that stands out. sent: it stands in the case, and who read it may say that it is so.
    again: address at which it is read again. row: of its station; here: how many stand out there, which are
    all said to be so at once."""

    head: str
    lines: tuple[str, ...]
    sent: bool
    again: str = ""
    row: int = 0
    here: int = 1


@dataclass(frozen=True)
class TableRow:
    angle: str
    reading: str
    off: str
    state: str
    url: str


@dataclass(frozen=True)
class Came:
    """A number that the readings come to. other: in the other system."""

    name: str
    value: str
    other: str = ""
    note: str = ""


def strip(here: Here, measured: MeasuredLand | None) -> tuple[StripStation, ...]:
    return tuple(_strip_station(here, one, measured) for one in here.stations)


def _strip_station(here: Here, one: ReadStation, measured: MeasuredLand | None) -> StripStation:
    doubtful = {s.place for s in _open_of(measured, one.row)}
    dots = tuple(
        "?" if slot.is_read and slot.place in doubtful else "●" if slot.is_read else "○"
        for slot in one.slots
    )
    units = here.bench.units
    current = here.station is not None and here.station.key == one.key
    read, count = len(one.read), len(one.slots)
    words = f"{read} of {count} read" + (f", {len(doubtful)} in doubt" if doubtful else "")
    url = here.address(station=one.key)
    return StripStation(units.along_number(one.z), units.label("mm"), dots, url, current, words)


def _open_of(measured: MeasuredLand | None, row: int | None) -> list[Suspect]:
    """The readings of a row that stand out and are not confirmed."""
    return [one for one in open_suspects(measured) if one.station == row]


def doubts(here: Here, measured: MeasuredLand | None, typed: tuple[int, int] | None) -> tuple[Doubt, ...]:
    """The readings that stand out, those of the station in hand first. typed: row and place of the one that
    is typed and not sent."""
    if measured is None:
        return ()
    row = here.station.row if here.station is not None else None
    found = sorted(
        open_suspects(measured), key=lambda one: ((one.station, one.place) != typed, one.station != row)
    )
    return tuple(_doubt(here, measured, one, typed) for one in found[:SHOWN_DOUBTS])


def _doubt(here: Here, measured: MeasuredLand, one: Suspect, typed: tuple[int, int] | None) -> Doubt:
    units = here.bench.units
    sent = (one.station, one.place) != typed
    station = measured.readings.stations[one.station]
    written = f"{station.written[one.place]} {station.unit}"
    shown = off_the_ring(station.values[one.place], here.way) or written
    angle = "" if one.angle is None else f"{one.angle:g}°, "
    head = f"{angle}{units.along(one.z)} along: {shown}" + (", read it again" if sent else "")
    side = "above" if one.residual > 0.0 else "below"
    scatter = _scatter_of_the_others(measured, station)
    lines = [
        f"{units.text(1e3 * abs(one.residual), 'um')} {side} what the others say of its place, where this "
        f"gauge {scatter[1]} {units.text(1e3 * scatter[0], 'um')}."
    ]
    lines.append(
        f"Was {one.meant} meant: {one.slip}?" if one.meant else "A chip or a rocked gauge reads so."
    )
    if not sent:
        lines.append("Not sent yet: wipe bore and feet, and read it once more.")
    elif abs(one.residual) > measured.plus_minus:
        lines.append("Until one of the two is chosen, nothing is said to hold.")
    else:
        within = units.text(1e3 * measured.plus_minus, "um")
        lines.append(f"It lies within the ± {within} of this land, so it counts as it stands.")
    slot = _slot_at(here, one.station, one.place)
    again = here.address(station=f"row {one.station}", at=str(slot)) if sent else ""
    count = len(_open_of(measured, one.station))
    return Doubt(typeset(head), tuple(map(typeset, lines)), sent, again, one.station, count)


def _slot_at(here: Here, row: int, place: int) -> int:
    for one in here.stations:
        if one.row == row:
            return next((k for k, slot in enumerate(one.slots) if slot.place == place), 0)
    return 0


def _scatter_of_the_others(measured: MeasuredLand, station: Station) -> tuple[float, str]:
    """Standard deviation of a reading of the gauge at a station, mm: as the readings that do not stand out
    show it, else as it is taken to be."""
    out = {(one.station, one.place) for one in measured.outliers}
    stations = []
    for k, one in enumerate(measured.readings.stations):
        kept = [p for p in range(len(one.values)) if (k, p) not in out]
        if kept:
            angles = tuple(one.angles[p] for p in kept) if one.angles else ()
            stations.append(
                replace(one, angles=angles, values=tuple(one.values[p] for p in kept), written=())
            )
    if stations:
        ends = measured.readings.z_start, measured.readings.z_end
        rest = measured_land(
            LandReadings(*ends, tuple(stations)),
            expansion=measured.expansion,
            part=measured.part,
            surface=measured.surface,
            index=measured.index,
            process=measured.process,
        )
        for scatter in rest.scatters:
            if scatter.gauge == station.gauge.instrument and scatter.dof >= 2.0:
                return scatter.std, "scatters by"
    return expected_std(station.gauge, measured.surface), "is taken to scatter by"


def direction(here: Here, angle: float | None) -> str:
    """A clock angle in words: which way the gauge is held."""
    if angle is None:
        return "angle not noted"
    if here.contacts != 2:
        return "one foot there, the others a third of a turn on"
    if not has_sides(here):
        return f"from {angle % 360:g}° to {(angle + 180.0) % 360:g}°"
    ends = (angle % 360.0 / 45.0, (angle + 180.0) % 360.0 / 45.0)
    if any(abs(end - round(end)) > 0.01 for end in ends):
        return f"{angle % 360:g}°, 0° forward, 90° up"
    return "{} to {}".format(*(DIRECTIONS[round(end) % 8] for end in ends))


def has_sides(here: Here) -> bool:
    """Whether the piece has a drive side: it has cups, or is loaded as one that has."""
    tables = here.bench.tables
    return "cups" in tables or value_at(tables, "service.left_cup") is not None


def table(here: Here, station: ReadStation, measured: MeasuredLand | None) -> tuple[TableRow, ...]:
    """The readings of a station, each with how far it is off the fitted land."""
    return tuple(_table_row(here, station, k, measured) for k in range(len(station.slots)))


def _table_row(here: Here, station: ReadStation, k: int, measured: MeasuredLand | None) -> TableRow:
    slot = station.slots[k]
    angle = f"{slot.angle:g}°" if slot.angle is not None else f"{k + 1}"
    url = here.address(station=station.key, at=str(k))
    if not slot.is_read:
        return TableRow(angle, "", "", "to come", url)
    out = {} if measured is None else {(o.station, o.place): o for o in measured.outliers}
    one = out.get((station.row or 0, slot.place or 0))
    state = "read" if one is None else "confirmed" if one.confirmed else "stands out"
    return TableRow(
        angle, typeset(f"{slot.number} {slot.unit}"), _off(here, station, slot, measured), state, url
    )


def _off(here: Here, station: ReadStation, slot: Slot, measured: MeasuredLand | None) -> str:
    """A reading less the land that is fitted to all of them, at its place."""
    if measured is None or station.row is None or slot.place is None:
        return ""
    value = measured.readings_at_20[station.row][slot.place] - fitted_at(measured, station.z, slot.angle)
    number = here.bench.units.number(1e3 * value, "um")
    sign = "" if number.startswith("-") or not float(number) else "+"
    return f"{sign}{number}".replace("-", MINUS)


def fitted_at(measured: MeasuredLand, z: float, angle: float | None) -> float:
    """Mean, taper and ovality of a land at a place, mm at 20 °C."""
    start, end = measured.readings.z_start, measured.readings.z_end
    share = (z - start) / (end - start)
    value = measured.diameter_start + share * (measured.diameter_end - measured.diameter_start)
    if measured.ovality is not None and measured.ovality_angle is not None and angle is not None:
        value += 0.5 * measured.ovality * cos(2.0 * radians(angle - measured.ovality_angle))
    return value


def seen_from(here: Here) -> str:
    """From where the face is seen. Angles turn the same way in every piece."""
    return "Seen from the drive side." if has_sides(here) else "Seen from the right end, 0° to the right."


def face_says(here: Here, measured: MeasuredLand | None) -> str:
    """What stands below the face."""
    oval = measured is not None and bool(measured.ovality)
    return seen_from(here) + (" Wedges: widest, as fitted." if oval else "")


def face(here: Here, measured: MeasuredLand | None, typed: Size | None) -> Markup:
    """A station with the gauge as it was held. typed: the reading that is next, as typed."""
    station = here.shown
    if station is None or all(slot.angle is None for slot in station.slots):
        return Markup("")
    marks = tuple(_marks(here, station, measured, typed))
    units, bore = here.bench.units, here.land.surface == "bore"
    wide = measured.ovality_angle if measured is not None and measured.ovality else None
    greatest = f" The fitted land is widest at {wide:.0f}°." if wide is not None else ""
    return clock_face(
        ClockFace(
            "face",
            (f"z {units.along_number(station.z)}", units.label("mm")),
            marks,
            bore,
            has_sides(here),
            typeset(f"{seen_from(here)} {said(marks)}.{greatest}"),
            wide,
        )
    )


def _marks(
    here: Here, station: ReadStation, measured: MeasuredLand | None, typed: Size | None
) -> Iterator[Mark]:
    doubtful = {
        one.place for one in _open_of(measured, station.row if station.row is not None else _next_row(here))
    }
    for k, slot in enumerate(station.slots):
        if slot.angle is None:
            continue
        now = here.station is not None and k == here.at
        size = (
            typed if now and typed is not None else Size(slot.number, slot.unit) if slot.is_read else None
        )
        text = "" if size is None else off_the_ring(size.mm, here.way) or size.number
        place = slot.place if slot.is_read else len(station.read)
        state: State = "open"
        if size is not None and place in doubtful:
            state = "suspect"
        elif now:
            state = "now"
        elif size is not None:
            state = "read"
        yield Mark(slot.angle, text.replace("-", MINUS), state, here.contacts)


def _next_row(here: Here) -> int:
    return len(here.land.rows)


def came_to(measured: MeasuredLand, units: Units) -> tuple[Came, ...]:
    """What the readings of a land come to."""
    other = Units("inch" if units.system == "metric" else "metric")

    def fine(mm: float, of: Units) -> str:
        return of.text(1e3 * mm, "um")

    found = [
        Came(
            f"Mean diameter at {units.temperature(20.0)}",
            f"{units.measured_diameter(measured.diameter)} ± {fine(measured.plus_minus, units)}",
            f"{other.measured_diameter(measured.diameter)} ± {fine(measured.plus_minus, other)}",
            "95 %",
        )
    ]
    named = (("Taper, right end less left", measured.taper), ("Ends less middle", measured.bell_mouth))
    for name, value in named:
        if value is not None:
            found.append(Came(name, fine(value, units), fine(value, other)))
        else:
            found.append(Came(name, "not shown", note="too few stations"))
    if measured.ovality is None:
        found.append(Came("Ovality", "not shown", note="too few directions, or too few readings"))
    else:
        note = f"± {fine(measured.ovality_plus_minus, units)}, widest at {measured.ovality_angle:.0f}°"
        found.append(Came("Ovality", fine(measured.ovality, units), fine(measured.ovality, other), note))
    if measured.scatter_dof:
        note = f"one reading, {measured.scatter_dof} degrees of freedom"
        found.append(Came("Scatter", fine(measured.scatter, units), fine(measured.scatter, other), note))
    return tuple(Came(*(typeset(text) for text in astuple(one))) for one in found)


def budget(measured: MeasuredLand, units: Units) -> tuple[tuple[str, str, str], ...]:
    """What the ± of the mean is made of: name, distribution, standard uncertainty; the largest first."""
    parts = sorted(measured.errors.components, key=lambda part: -part.standard_uncertainty)
    return tuple(
        (
            part.name,
            typeset(DISTRIBUTIONS[part.kind].format(_fine(part.scale, units))),
            typeset(_fine(part.standard_uncertainty, units)),
        )
        for part in parts
    )


def _fine(mm: float, units: Units) -> str:
    return units.text(1e3 * mm, "um", decimals=2 if units.system == "metric" else 3)


def blind_spots(measured: MeasuredLand, units: Units) -> tuple[str, ...]:
    """Notes of a land but those on what stands out, which has a box of its own."""
    notes = (note for note in measured.notes if not note.startswith("readings that stand out"))
    return tuple(typeset(f"{units.first(note)[:1].upper()}{units.first(note)[1:]}.") for note in notes)
