"""Stations whose readings a person confirmed: what stands out there, and that it counts as it was read."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.measured.suspects import Suspect
from hoopwright.page.read_lands import ReadStation
from hoopwright.page.read_place import Here
from hoopwright.page.take_readings import open_suspects
from hoopwright.page.typed_size import off_the_ring
from hoopwright.page.views.words import typeset


@dataclass(frozen=True)
class ConfirmedStation:
    """A station that was confirmed. lines: what stands out there; row: of the readings of its land."""

    head: str
    lines: tuple[str, ...]
    row: int


def confirmed_stations(here: Here, typed: MeasuredLand | None) -> tuple[ConfirmedStation, ...]:
    """Those of the land in hand, as the case has them. typed: the land with what is typed and not sent,
    beside which another reading there may be in doubt: then that is what is said of the station."""
    in_doubt = {one.station for one in open_suspects(typed)}
    return tuple(
        _station(here, one, one.row)
        for one in here.stations
        if one.confirmed and one.row is not None and one.row not in in_doubt
    )


def _station(here: Here, station: ReadStation, row: int) -> ConfirmedStation:
    measured, lines = here.measured, []
    if measured is not None:
        lines = [_line(here, measured, one) for one in measured.outliers if one.station == row]
    lines = lines or ["No reading stands out there now, so this changes nothing."]
    where = station.written if station.faulty else here.bench.units.along(station.z)
    return ConfirmedStation(typeset(f"{where} along: confirmed"), tuple(map(typeset, lines)), row)


def _line(here: Here, measured: MeasuredLand, one: Suspect) -> str:
    angle = "" if one.angle is None else f"{one.angle:g}°: "
    shown = off_the_ring(measured.readings.stations[one.station].values[one.place], here.way) or one.written
    side = "above" if one.residual > 0.0 else "below"
    off = here.bench.units.text(1e3 * abs(one.residual), "um")
    return f"{angle}{shown}, {off} {side} what the others say of its place. It counts as it was read."
