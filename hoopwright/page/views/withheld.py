"""Why the page gives no size to cut to, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from hoopwright.display import Units
from hoopwright.display.rows import clash_text, in_order_of
from hoopwright.page.model import Bench, Document
from hoopwright.page.views.at_the_press import doubt_of
from hoopwright.page.views.turn_to import aim_of
from hoopwright.page.views.verdict import SEE_THE_PRESS, Link, verdict_view
from hoopwright.page.views.words import capital, typeset
from hoopwright.suspected import open_suspects


@dataclass(frozen=True)
class Withheld:
    """Why no size is shown. lines: what else is to be said."""

    text: str
    links: tuple[Link, ...] = ()
    lines: tuple[str, ...] = ()


def withheld(bench: Bench, found: Document | None) -> Withheld | None:
    """Why no size may be read from the page; None where one may."""
    case = bench.case
    if case is None:
        return Withheld("The case has a fault. The size to cut to is worked out once it is put right.")
    if found is None or not bench.is_current("size"):
        return Withheld(_not_yet(bench, found))
    verdict = typeset(in_order_of(bench.units, found)["verdict"])
    if case.sample:
        text = "These are sample values of a starter, and no size is given to cut to by them."
        return Withheld(text, (Link("Say whose values they are", "piece"),), (verdict,))
    if found["window"]["withheld"]:
        return Withheld(verdict, (SEE_THE_PRESS,))
    if doubt := doubt_of(bench):
        return Withheld(typeset(doubt), (SEE_THE_PRESS,))
    if bench.is_current("check") and verdict_view(bench).state == "contradicted":
        said = verdict_view(bench).lines
        return Withheld("No size is given to cut to while the case is contradicted.", (), said)
    if found["came_out"] is not None:
        return None
    if open_suspects(case):
        return Withheld(verdict, (Link("See the readings", "readings"),))
    part = found["turn_to"]
    if part is None or not part["makeable"] or not found["state"].startswith("holds"):
        return Withheld(verdict, _links(part), tuple(_why_none(bench, found)))
    if not _can_be_read(part, Units(case.units)):
        text = "No size that this gauge can show at the temperature of the shop lies in the band."
        return Withheld(text, (Link("Give another gauge", "use"),), (verdict,))
    return None


def _can_be_read(part: Mapping[str, Any], units: Units) -> bool:
    """Whether every land, and every end of one that tapers, has a size to aim for that the gauge shows."""
    sizes = (size for band in part["bands"] for size in band["ends"] or (band,))
    return all(aim_of(size, units) is not None for size in sizes)


def _not_yet(bench: Bench, found: Document | None) -> str:
    if bench.at_work is not None:
        return "The size to cut to is being worked out for the case as it stands now."
    if bench.failed:
        return f"The size to cut to was not found: {bench.failed}"
    if found is not None:
        return "The case has changed since the size to cut to was worked out. Load this page again."
    return "The size to cut to is not worked out yet."


def _links(part: Mapping[str, Any] | None) -> tuple[Link, ...]:
    if part is None:
        return (Link("See the fit", "fit"),)
    return () if part["makeable"] else (Link("Give another gauge", "use"),)


def _why_none(bench: Bench, found: Document) -> Iterator[str]:
    """What clashes where no interference lets every row hold, and what was tried."""
    units = bench.units
    if not found["window"]["empty"]:
        return
    for clash in found["window"]["clash"]:
        yield typeset(f"{capital(clash_text(clash, units))}.")
    for one in found["tried"]:
        window = one["window"]
        if window is None:
            said = "cannot be made"
        elif window["empty"]:
            said = f"still none: {'; '.join(clash_text(c, units) for c in window['clash'])}"
        else:
            low, high = (window[end]["measured_interference_um"] for end in ("least", "greatest"))
            said = f"opens {units.span(low, high, 'um')}"
        yield typeset(f"Tried: {one['change']}: {said}.")
