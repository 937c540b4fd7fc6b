"""Where step Readings is: the land, how it is read, its stations, and the reading that is next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.page.model import Bench
from hoopwright.page.read_lands import (
    LandPlace,
    Plan,
    ReadStation,
    all_slots,
    asked_land,
    contacts_of,
    evaluated,
    gauge_for,
    lands_of,
    length_of,
    planned,
    stations_of,
)
from hoopwright.page.take_readings import land_path
from hoopwright.page.typed_size import Way, way_of

OF_A_LAND = ("stations", "angles", "gauge", "part_temperature")
"""What the address says of the land that it is at."""
PASSING = ("typed", "column", "station", "at")
"""What it says of the reading in hand."""


@dataclass(frozen=True)
class Here:
    """A land in hand. station, at: the reading that is next, None where all that is planned is taken.
    measured: what its readings come to, None where there are none or they cannot be evaluated."""

    bench: Bench
    lands: tuple[LandPlace, ...]
    land: LandPlace
    gauge: str
    contacts: int
    way: Way
    plan: Plan
    stations: tuple[ReadStation, ...]
    station: ReadStation | None
    at: int
    measured: MeasuredLand | None

    @property
    def shown(self) -> ReadStation | None:
        """The station that is drawn: the one in hand, or the last that was read where none is."""
        read = (one for one in reversed(self.stations) if one.row is not None)
        return self.station or next(read, None)

    @property
    def expected(self) -> float | None:
        """The size that the land has, as far as it is known, mm."""
        if self.measured is not None:
            return self.measured.diameter
        return length_of(self.land.size)

    def address(self, *, land: LandPlace | None = None, **more: str) -> str:
        """The query of a place: of another land, or of another reading of this one."""
        return f"?{urlencode(self.asked(land=land, **more))}"

    def asked(self, *, land: LandPlace | None = None, **more: str) -> dict[str, str]:
        """What an address is to say. The plan goes with its land, the way it is read with its gauge."""
        drop = PASSING if land is None else (*PASSING, *OF_A_LAND)
        kept = {key: value for key, value in self.bench.asked.items() if key not in drop}
        return {**kept, "land": (land or self.land).path, **{k: v for k, v in more.items() if v}}


def here_of(bench: Bench) -> Here | None:
    """Where the address is; None for a case of which nothing can be read."""
    lands = lands_of(bench)
    land = asked_land(bench, lands)
    if land is None:
        return None
    gauge = gauge_for(bench, land)
    contacts = contacts_of(bench, gauge)
    plan = planned(bench, land, contacts=contacts)
    stations = stations_of(land, plan, contacts=contacts)
    station, at = _next(bench.asked, stations)
    if station is not None and station.gauge:
        gauge = station.gauge
    measured = evaluated(bench).get(land.identity) if land.rows else None
    way = way_of(bench, gauge)
    return Here(bench, lands, land, gauge, contacts, way, plan, stations, station, at, measured)


def _next(asked: Mapping[str, str], stations: Sequence[ReadStation]) -> tuple[ReadStation | None, int]:
    """The reading that the address names, else the first that is not taken: of the station that it names,
    whose first it is where all are, or of all."""
    named = [one for one in stations if one.key == asked.get("station")]
    at = asked.get("at", "")
    if named and at.isdecimal() and len(at) < 5 and int(at) < len(named[0].slots):
        return named[0], int(at)
    open_ = [(one, k) for one, k in all_slots(stations) if not one.slots[k].is_read and not one.faulty]
    if named:
        return next(((one, k) for one, k in open_ if one is named[0]), (named[0], 0))
    return next(iter(open_), (None, 0))


def after(here: Here) -> dict[str, str]:
    """Where to go on behind the reading in hand: the next of its station that is not taken, else whatever
    is not. The name of a station changes with its first reading."""
    station = here.station
    asked = here.asked(land=None)
    asked["land"] = land_path(here.land)
    if station is None:
        return asked
    left = [k for k, slot in enumerate(station.slots) if not slot.is_read and k != here.at]
    if left:
        row = station.row if station.row is not None else len(here.land.rows)
        behind = [k for k in left if k > here.at]
        return asked | {"station": f"row {row}", "at": str((behind or left)[0])}
    return asked


def before(here: Here) -> str:
    """The address of the reading before the one in hand, "" for the first."""
    slots = [(one.key, k) for one, k in all_slots(here.stations)]
    if here.station is None:
        found = slots[-1:]
    else:
        at = slots.index((here.station.key, here.at)) if (here.station.key, here.at) in slots else 0
        found = slots[at - 1 : at] if at else []
    return here.address(station=found[0][0], at=str(found[0][1])) if found else ""
