"""A column of readings as it is pasted: which reading becomes which, before anything is taken."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from hoopwright.page.read_lands import ReadStation, all_slots
from hoopwright.page.read_place import Here
from hoopwright.page.take_readings import Taken, measured_with, open_suspects, places_of, taking
from hoopwright.page.typed_size import TypedError, Way, size_of

MAX_READINGS = 200
"""Readings that one paste may hold."""
_UNIT = re.compile(r"[A-Za-zµ]+")
_WHOLE, _FRACTION = re.compile(r"[0-9]{1,4}"), re.compile(r"[0-9]{1,4}/[0-9]{1,4}(?:in)?")
"""Parts of 1 5/8, which is one reading."""


@dataclass(frozen=True)
class Line:
    """One reading of a column: as typed, and where it goes; fault: why it is none, "" where it is one.
    replaces: what is read there already, "" for nothing. doubted: it stands out from the others."""

    typed: str
    taken: Taken | None = None
    fault: str = ""
    replaces: str = ""
    doubted: bool = False


def lines_of(
    text: str,
    stations: Sequence[ReadStation],
    way: Way,
    first: tuple[str, int],
    *,
    expected: float | None = None,
) -> tuple[Line, ...]:
    """The readings of a column, one after another from a place on. first: key of the station and the slot
    that the first goes to."""
    slots = list(all_slots(stations))
    start = next((k for k, (one, at) in enumerate(slots) if (one.key, at) == first), 0)
    found = []
    for k, typed in enumerate(_readings(text)[: MAX_READINGS + 1]):
        if k == MAX_READINGS:
            found.append(Line(typed, fault=f"more than {MAX_READINGS} readings; paste the rest afterwards"))
        elif start + k >= len(slots):
            found.append(Line(typed, fault="no place is planned for it; plan more stations or angles"))
        else:
            found.append(_line(typed, *slots[start + k], way, expected))
    return tuple(found)


def _line(typed: str, station: ReadStation, at: int, way: Way, expected: float | None) -> Line:
    try:
        size = size_of(typed, way, expected=expected)
    except TypedError as error:
        return Line(typed, fault=str(error))
    slot = station.slots[at]
    return Line(
        typed, Taken(station, at, size), replaces=f"{slot.number} {slot.unit}" if slot.is_read else ""
    )


def _readings(text: str) -> list[str]:
    """What is typed for each reading: numbers between white space or semicolons, each with a fraction and a
    unit that stand behind it."""
    found: list[str] = []
    for word in re.split(r"[\s;]+", text.strip()):
        if found and _goes_on(found[-1], word):
            found[-1] += f" {word}"
        elif word:
            found.append(word)
    return found


def _goes_on(before: str, word: str) -> bool:
    """Whether a word is of the same reading as those before it."""
    if _FRACTION.fullmatch(word):
        return bool(_WHOLE.fullmatch(before))
    return bool(_UNIT.fullmatch(word)) and not _UNIT.search(before)


def column_of(here: Here, text: str) -> tuple[Line, ...]:
    """A column that is pasted where the page is, with what would stand out of the land."""
    if not text.strip() or not here.stations:
        return ()
    station = here.station or here.stations[0]
    found = lines_of(text, here.stations, here.way, (station.key, here.at), expected=here.expected)
    taken = [line.taken for line in found if line.taken is not None]
    edits = taking(here.bench, here.land, here.gauge, taken)
    measured = measured_with(here.bench, here.land, edits) if taken else None
    doubtful = {(one.station, one.place) for one in open_suspects(measured)}
    places = iter(places_of(here.land, taken))
    return tuple(
        replace(line, doubted=next(places) in doubtful) if line.taken is not None else line
        for line in found
    )
