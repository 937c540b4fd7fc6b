"""Step 8, Turn to: the size to cut the last part to, what is still to come off, and what to do with what
came out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.case.model import Case
from hoopwright.display.rows import in_order_of
from hoopwright.page.last_cut import LastCut, Place, Reading, last_cut
from hoopwright.page.model import Bench, Document, Mark, Step
from hoopwright.page.steps.common import Wanted
from hoopwright.page.turning import (
    SIDES,
    address,
    entry_of,
    finished_parts,
    land_asked,
    note,
    reading_at,
    readings_address,
    ring_of,
    take,
    take_way,
    undo,
)
from hoopwright.page.views.came_out import CameOutView, came_out_view
from hoopwright.page.views.turn_to import (
    Aim,
    Shown,
    TableRow,
    aim_of,
    aim_view,
    band_of,
    grounds,
    how_of,
    number,
    span,
    unit_mm,
)
from hoopwright.page.views.verdict import verdict_view
from hoopwright.page.views.withheld import withheld as why_none
from hoopwright.page.views.words import typeset


@dataclass(frozen=True)
class Tab:
    """One land. aim: of it. state: what was read of it, in words."""

    name: str
    aim: str
    href: str
    current: bool
    state: str


@dataclass(frozen=True)
class Bands:
    """The sizes to cut to. verdict: of `size`; of_case: that another one is of the sizes in the case, ""
    where it is not. commit: what was read of every land may be taken into the case; lacks: why not yet,
    None where nothing was read."""

    title: str
    place: str
    head: str
    tabs: tuple[Tab, ...]
    aims: tuple[Aim, ...]
    rows: tuple[TableRow, ...]
    grounds: tuple[str, ...]
    verdict: str
    of_case: str
    commit: bool
    lacks: Wanted | None


def view(bench: Bench) -> Mapping[str, Any]:
    cut = None if bench.case is None else last_cut(bench.case)
    found = bench.answer("size")
    withheld = why_none(bench, found)
    bands: Bands | None = None
    out: CameOutView | None = None
    if withheld is None and found is not None and bench.case is not None and cut is not None:
        if found["came_out"] is not None:
            out = came_out_view(in_order_of(bench.units, found), bench.units)
        else:
            bands = _bands(bench, bench.case, cut, found)
    return {
        "file": bench.file,
        "digest": bench.seen,
        "query": bench.query,
        "at_20": bench.units.temperature(20.0),
        "withheld": withheld,
        "bands": bands,
        "out": out,
        "entry": None if withheld is not None and bench.is_current("size") else entry_of(bench, cut),
        "finished": tuple(finished_parts(bench, cut)),
        "not_taken": tuple(
            words for path, (_, words) in bench.rejected.items() if not path.startswith(("now-", "ring"))
        ),
        "passes": bench.case is not None
        and bench.case.boring is not None
        and cut is not None
        and cut.part == "shell",
    }


def mark(bench: Bench) -> Mark:
    """Given once both parts are finished, partly once one is."""
    if bench.case is None:
        return "nothing"
    cut = last_cut(bench.case)
    return "given" if cut.part is None else "partly" if cut.sleeve_cut else "nothing"


# -- the sizes -----------------------------------------------------------------------------------


def _bands(bench: Bench, case: Case, cut: LastCut, found: Document) -> Bands:
    part, units = found["turn_to"], bench.units
    by_land = {band["land"] - 1: band for band in part["bands"]}
    index = land_asked(bench, cut)
    shown = Shown(case, part, units, ring_of(bench, case, cut))
    places = [place for place in cut.places if place.index == index]
    read = {place: reading_at(bench, case, place)[0] for place in cut.places}
    band = by_land[index]
    lands = len(cut.lands)
    what = "Sleeve outside" if shown.sleeve else "Bore"
    notes = tuple(note for note in in_order_of(units, found)["cautions"][:-1])
    commit, lacks = _commit(bench, case, cut, by_land, read)
    return Bands(
        f"{what}, land {index + 1}" if lands > 1 else what,
        typeset(f"z {units.along_span(band['z_start_mm'], band['z_end_mm'])}"),
        typeset(_head(shown)),
        tuple(_tabs(bench, case, cut, by_land, read, index)) if lands > 1 else (),
        tuple(aim_view(shown, place, _of(by_land, place), read[place]) for place in places),
        tuple(_row(bench, place, _of(by_land, place), index) for place in cut.places),
        grounds(shown, notes),
        typeset(in_order_of(units, found)["verdict"]),
        _of_case(bench),
        commit,
        lacks,
    )


def _of_case(bench: Bench) -> str:
    """What the verdict above is about, where it says otherwise than that there is a size to cut to."""
    bad = bench.is_current("check") and verdict_view(bench).state in ("fails", "undecided")
    return "The verdict above is on the sizes that the case has now." if bad else ""


def _of(by_land: Mapping[int, Mapping[str, Any]], place: Place) -> Mapping[str, Any]:
    """The band of a land, or of one end of it."""
    band = by_land[place.index]
    end: Mapping[str, Any] = band if place.end is None else band["ends"][place.end]
    return end


def _head(shown: Shown) -> str:
    gauge = shown.part["gauge"]
    on = f", on the {gauge}" if gauge else ""
    shop = shown.units.temperature(shown.part["shop_temperature_degC"])
    return f"{'Aim at' if shown.sleeve else 'Bore to'}{on}, shop at {shop}"


def _tabs(
    bench: Bench,
    case: Case,
    cut: LastCut,
    by_land: Mapping[int, Mapping[str, Any]],
    read: Mapping[Place, Reading | None],
    index: int,
) -> Iterator[Tab]:
    words = {
        "past": "past the band",
        None: "not read",
        "off": "metal to come off",
        "apart": "readings differ",
        "in": "in the band",
    }
    for land in cut.lands:
        hows = [
            None if (one := read[p]) is None else how_of(case, p, _of(by_land, p), one)
            for p in cut.places
            if p.index == land
        ]
        state = next(word for how, word in words.items() if how in hows)
        aim = aim_of(by_land[land], bench.units)
        size = "" if aim is None else number(aim * unit_mm(bench.units), bench.units)
        yield Tab(f"Land {land + 1}", size, address(bench, land=str(land + 1)), land == index, state)


def _row(bench: Bench, place: Place, part: Mapping[str, Any], index: int) -> TableRow:
    units = bench.units
    aim, pair = aim_of(part, units), band_of(part, units)
    end = "" if place.end is None else f", {SIDES[place.end]}"
    name = f"land {place.index + 1}{end}"
    chance = part.get("chance")
    return TableRow(
        name,
        "" if place.index == index else address(bench, land=str(place.index + 1)),
        "none" if aim is None else number(aim * unit_mm(units), units),
        "none that can be read" if pair is None else span(pair, units),
        "" if chance is None else typeset(f"{100.0 * chance:.1f} %"),
    )


def _commit(
    bench: Bench,
    case: Case,
    cut: LastCut,
    by_land: Mapping[int, Mapping[str, Any]],
    read: Mapping[Place, Reading | None],
) -> tuple[bool, Wanted | None]:
    """Whether what was read may become the sizes of the case, and why not."""
    if not any(read.values()):
        return False, None
    if cut.read and cut.part is not None:
        text = "This part has readings in the case, which one size does not stand for: read it anew there."
        return False, Wanted(text, readings_address(case, cut.part, cut.read[0]), "Readings")
    missing = [place.index + 1 for place, one in read.items() if one is None]
    if missing:
        text = f"Not read yet: {', '.join(f'land {land}' for land in dict.fromkeys(missing))}."
        return False, Wanted(text, address(bench, land=str(missing[0])), f"Land {missing[0]}")
    hows = [how_of(case, p, _of(by_land, p), one) for p, one in read.items() if one is not None]
    return "off" not in hows or "past" in hows, None


STEP = Step(
    "turn-to",
    8,
    "Turn to",
    "At the machine",
    ("size", "check"),
    view,
    mark,
    {"note": note, "take": take, "undo": undo, "way": take_way},
)
