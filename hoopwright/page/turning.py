"""What is typed at the machine on the step Turn to, which stands in the address until it is taken, and what
the buttons do with the case."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import urlencode

from hoopwright.case.model import Case
from hoopwright.page.last_cut import (
    LastCut,
    NotReadError,
    Part,
    Place,
    Reading,
    as_read,
    land_of,
    last_cut,
    not_finished,
    reading_of,
    restored,
    stored_text,
)
from hoopwright.page.model import Bench, Done, Form, first_value
from hoopwright.page.paths import path_to
from hoopwright.page.views.came_out import edits_of
from hoopwright.page.views.turn_to import instrument_of, number
from hoopwright.sizing.turn_to import SURFACE

SIDES = ("left end", "right end")
STORED = "was"
"""What the address calls the sizes that were taken over by what was read."""


@dataclass(frozen=True)
class NowField:
    """Where is typed what the gauge shows now."""

    name: str
    label: str
    typed: str
    unit: str
    fault: str


@dataclass(frozen=True)
class Entry:
    """The form of what is read now. ring: the ring that a dial is set in, None for another gauge. surface:
    that is read, in words; readings: the address where each reading of it stands at its place."""

    title: str
    fields: tuple[NowField, ...]
    ring: NowField | None
    note: str
    surface: str
    readings: str


@dataclass(frozen=True)
class Finished:
    """A part that may be said not to be finished. part: "sleeve" or "shell". sizes: what the case had
    before, in words."""

    part: str
    words: str
    sizes: str


def land_asked(bench: Bench, cut: LastCut) -> int:
    asked = bench.asked.get("land", "")
    index = int(asked) - 1 if asked.isascii() and asked.isdigit() and len(asked) < 4 else -1
    return index if index in cut.lands else cut.lands[0]


def address(bench: Bench, **asked: str) -> str:
    """The address of the step with something asked otherwise."""
    return f"turn-to?{urlencode({**bench.asked, **asked})}"


def reading_at(bench: Bench, case: Case, place: Place) -> tuple[Reading | None, str, str]:
    """What the address says that was read of a place, what was typed, and why that is no reading."""
    if place.name in bench.rejected:
        return None, *bench.rejected[place.name]
    typed = bench.asked.get(place.name, "")
    if not typed:
        return None, "", ""
    try:
        reading = reading_of(typed, _size_of(case, place), bench.units)
    except NotReadError as error:
        return None, typed, str(error)
    bare = reading.text.removesuffix(f" {bench.units.label('mm')}")
    return reading, bare, ""


def _size_of(case: Case, place: Place) -> float:
    """About what is to be read, mm."""
    land = land_of(case, place.part, place.index)
    return land.diameter_end if place.end == 1 else land.diameter_start


def entry_of(bench: Bench, cut: LastCut | None) -> Entry | None:
    """The form; None where nothing is left to cut, or nothing is known yet."""
    case = bench.case
    if case is None or cut is None or cut.part is None or case.sample:
        return None
    index, unit = land_asked(bench, cut), bench.units.label("mm")
    fields = []
    for place in (p for p in cut.places if p.index == index):
        _, typed, fault = reading_at(bench, case, place)
        end = "" if place.end is None else f", {SIDES[place.end]}"
        fields.append(NowField(place.name, f"It measures now{end}", typed, unit, fault))
    ring = None
    if instrument_of(case, cut.part == "sleeve") == "dial":
        typed, fault = bench.rejected.get("ring", ("", ""))
        shown = number(ring_of(bench, case, cut) or 0.0, bench.units)
        ring = NowField("ring", "Ring that the dial is set in", typed or shown, unit, fault)
    title = f"Land {index + 1}: it came out …" if len(cut.lands) > 1 else "It came out …"
    counted = case.size.readings
    several = f" The band counts on the mean of {counted}." if counted > 1 else ""
    note = f"As the gauge shows it in the shop; several readings with a space between.{several}"
    surface = "sleeve outside" if cut.part == "sleeve" else "bore"
    surface += f", land {index + 1}" if len(cut.lands) > 1 else ""
    return Entry(title, tuple(fields), ring, note, surface, readings_address(case, cut.part, index))


def readings_address(case: Case, part: Part, index: int) -> str:
    """The address of a land on step Readings, where each of its readings stands at its place."""
    listed = case.sleeve_lands_listed if part == "sleeve" else case.shell_lands_listed
    land = (part, SURFACE[part], index) if listed else (part, SURFACE[part])
    return f"readings?{urlencode({'land': path_to(*land)})}"


def ring_of(bench: Bench, case: Case, cut: LastCut) -> float | None:
    """The ring as typed, else the one nearest to the size in whole mm, or twentieths of an inch; mm."""
    if not cut.places:
        return None
    size, units = _size_of(case, cut.places[0]), bench.units
    if typed := bench.asked.get("ring", ""):
        try:
            return reading_of(typed, size, units).mean
        except NotReadError:
            pass
    return round(size / 25.4 * 20.0) / 20.0 * 25.4 if units.system == "inch" else float(round(size))


def finished_parts(bench: Bench, cut: LastCut | None) -> Iterator[Finished]:
    """Parts that the case says are cut, each to be said not to be."""
    case = bench.case
    if case is None or cut is None:
        return
    stored = [one for one in restored(bench.asked.get(STORED, "")) if "plus_minus" not in one.path]
    for part, done, words in (
        ("sleeve", cut.sleeve_cut, "Not turned yet"),
        ("shell", case.shell_bored is True, "Not bored yet"),
    ):
        if done:
            sizes = ", ".join(one.typed for one in stored if one.path.startswith(part))
            yield Finished(part, words, sizes)


def note(bench: Bench, form: Form) -> Done:
    """Look at what the gauge shows; the case stays as it is."""
    case = bench.case
    if case is None:
        return Done()
    cut = last_cut(case)
    asked, rejected = dict(bench.asked), {}
    sizes = {place.name: _size_of(case, place) for place in cut.places}
    if cut.places:
        sizes["ring"] = _size_of(case, cut.places[0])
    for name, size in sizes.items():
        if name not in form:
            continue
        typed = form[name][0].strip()
        asked.pop(name, None)
        if not typed:
            continue
        try:
            asked[name] = reading_of(typed, size, bench.units).text
        except NotReadError as error:
            rejected[name] = (typed, str(error))
    return Done(rejected=rejected, asked=asked)


def take(bench: Bench, _: Form) -> Done:
    """Make what was read the sizes of the case, and the part finished."""
    case = bench.case
    cut = None if case is None else last_cut(case)
    if case is None or cut is None or cut.part is None or cut.read:
        return Done(rejected={"turned": ("", "The case is not such that it can take what was read.")})
    read = {place: reading_at(bench, case, place)[0] for place in cut.places}
    known = {place: one for place, one in read.items() if one is not None}
    if len(known) < len(read):
        return Done(rejected={"turned": ("", "Not every land was read.")})
    edits = as_read(case, known)
    return Done(edits, asked={STORED: stored_text(bench.tables, edits)})


def undo(bench: Bench, form: Form) -> Done:
    """Say that a part is not finished, with its sizes of before where they are known."""
    part = first_value(form, "part")
    if bench.case is None or part not in ("sleeve", "shell"):
        return Done()
    stored = bench.asked.get(STORED, "")
    own = stored if any(one.path.startswith(part) for one in restored(stored)) else ""
    return Done(not_finished(bench.case, part, own), asked={})  # type: ignore[arg-type]


def take_way(bench: Bench, form: Form) -> Done:
    """Make the case what a way out proposes."""
    name, found = first_value(form, "way"), bench.answer("size")
    if found is None or not bench.is_current("size") or found["came_out"] is None:
        return Done(
            rejected={"way": (name, "The ways out are of the case as it was. Nothing was written.")}
        )
    one = next((way for way in found["came_out"]["ways"] if way["id"] == name), None)
    if one is None or not one["changes"] or not one["state"].startswith("holds"):
        return Done(rejected={"way": (name, "There is no such way out that holds. Nothing was written.")})
    return Done(edits_of(one, bench.tables), asked={})
