"""Two finished parts on the page: press them, or the ways out, best first, as `size` has them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hoopwright.display import Units, percent_text
from hoopwright.page.figures.marks import hoop
from hoopwright.page.model import Edit
from hoopwright.page.paths import value_at
from hoopwright.page.views.turn_to import band_of, number, other, span
from hoopwright.page.views.words import capital, margin_shown, typeset

STRIPS = {
    "holds": ("holds", "Holds"),
    "holds as far as judged": ("part", "Holds as far as judged"),
    "undecided": ("undecided", "Undecided"),
    "contradicted": ("undecided", "Undecided"),
    "not judged": ("unjudged", "Not judged"),
    "fails": ("fails", "Fails"),
    "cannot be done": ("unjudged", "Cannot be done"),
}
"""Shape and word of the strip, by the state of a way."""
WHICH = {"sleeve": "Sleeve outside", "shell": "Bore"}


@dataclass(frozen=True)
class WaySize:
    """What a land is cut to: where to aim and its band, as the gauge shows them in the shop."""

    name: str
    aim: str
    band: str
    other: str


@dataclass(frozen=True)
class WayView:
    """One way. look: of its strip. governs: the row nearest its limit. lines: what the case says then.
    can_be_taken: whether the page can make the case so."""

    id: str
    title: str
    look: str
    word: str
    hoop: Markup
    margin: str
    governs: str
    why: str
    sizes: tuple[WaySize, ...]
    advice: tuple[str, ...]
    lines: tuple[str, ...]
    can_be_taken: bool


@dataclass(frozen=True)
class CameOutView:
    """press: they are to be pressed as they are. chance: that the fit lies in its window. cannot: title and
    reason."""

    verdict: str
    press: bool
    note: str
    never: str
    chance: str
    ways: tuple[WayView, ...]
    cannot: tuple[tuple[str, str], ...]


def came_out_view(found: Mapping[str, Any], units: Units) -> CameOutView:
    """found: document of `size` of two finished parts."""
    part, decision = found["came_out"], found["decision"]
    chance = ""
    if decision is not None:
        likely = units.span(decision["least_um"], decision["greatest_um"], "um")
        share = percent_text(decision["probability"])
        chance = f"The fit is {likely}, 95 %, and lies in its window with a chance of {share}."
    return CameOutView(
        typeset(part["verdict"]),
        part["press"],
        typeset(part["note"]),
        typeset(part["never"]),
        typeset(chance),
        tuple(_way(one, units, part["shop_temperature_degC"]) for one in part["ways"]),
        tuple((one["title"], typeset(f"{capital(one['why'])}.")) for one in part["not_possible"]),
    )


def _way(one: Mapping[str, Any], units: Units, shop: float) -> WayView:
    look, word = STRIPS[one["state"]]
    row = one["governs"]
    return WayView(
        one["id"],
        one["title"],
        look,
        word,
        hoop(look),
        "" if row is None else margin_shown(one["margin"]),
        "" if row is None else f"{row['title']}, {row['stage']}",
        typeset(f"{capital(one['why'])}." if one["why"] else ""),
        tuple(_sizes(one, units, shop)),
        tuple(typeset(f"{capital(line)}.") for line in _advice(one, units)),
        tuple(_lines(one["changes"])),
        bool(one["changes"]) and one["state"].startswith("holds"),
    )


def _advice(one: Mapping[str, Any], units: Units) -> Iterator[str]:
    yield from one["advice"]
    if one["wall_left_mm"] is not None:
        yield f"wall left, thin side: {units.both(one['wall_left_mm'], 'mm')}"
    if any("readings" in change["drop"] for change in one["changes"]):
        yield "made so, the case loses the readings of what is cut, which are of a size that is no more"


def _sizes(one: Mapping[str, Any], units: Units, shop: float) -> Iterator[WaySize]:
    """Sizes to cut to, at 20 °C as the case will have them, with the band as the gauge shows it there."""
    bands = {band["land"]: band for band in one["bands"]}
    label = units.label("mm")
    for size in one["sizes"]:
        name = f"{WHICH[size['part']]}, land {size['land']}, at {units.temperature(20.0)}"
        aim = f"{number(size['diameter_mm'], units)} {label}"
        there = f"{number(size['diameter_mm'], other(units))} {other(units).label('mm')}"
        band = bands.get(size["land"]) if size["part"] == one["cut"] else None
        pair = None if band is None else band_of(band, units)
        shown = (
            ""
            if pair is None
            else f"{span(pair, units)} {label} on the gauge, shop at {units.temperature(shop)}"
        )
        yield WaySize(typeset(name), typeset(aim), typeset(shown), typeset(there))


def _lines(changes: list[Mapping[str, Any]]) -> Iterator[str]:
    """What the case says then, a table a line."""
    for change in changes:
        which = "" if change["land"] is None else f" {change['land']}"
        heading = f"[{change['table']}]" if change["land"] is None else f"[[{change['table']}]]{which}"
        parts = [f'{key} = "{value}"' for key, value in change["set"].items()]
        if change["drop"]:
            parts.append(f"without {', '.join(change['drop'])}")
        yield f"{heading}: {', '.join(parts)}"


def edits_of(way: Mapping[str, Any], tables: Mapping[str, Any]) -> tuple[Edit, ...]:
    """The changes of a case that a way proposes; what it drops goes first. tables: of the case as it is."""
    edits: list[Edit] = []
    for change in way["changes"]:
        at = change["table"] if change["land"] is None else f"{change['table']}[{change['land'] - 1}]"
        for key in change["drop"]:
            edits += _dropped(f"{at}.{key}", tables)
        edits += [Edit(f"{at}.{key}", value) for key, value in change["set"].items()]
    return tuple(edits)


def _dropped(path: str, tables: Mapping[str, Any]) -> Iterator[Edit]:
    """What takes a value away; a list goes entry by entry, the last first, with what is said of each."""
    found = value_at(tables, path)
    if isinstance(found, list):
        yield from (Edit(f"{path}[{k}]", "") for k in reversed(range(len(found))))
    else:
        yield Edit(path, "")
