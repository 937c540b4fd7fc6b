"""[[route]]: other ways to repair the same shell, for `hoopwright compare`. Optional.

name = "Larger seat"
kind = "sleeve"                 or "larger seat", "larger thread", "tap through"
bore = "41 mm"                  bore after cutting; a sleeve keeps the case's when left out
seat = "41 mm"                  larger seat: a published press-in seat, instead of bore
thread = "36 mm x 24 tpi right" larger thread, tap through: a standard thread
engagement = "20 mm"              its engaged length
material = "7075-T6"            of the sleeve, or of the part pressed into the seat
part_bore = "34.9 mm"           bore of that part
interference = "40 um"          of that part in the shell, on diameter
needs = "boring bar, press"     optional, as you see it; likewise
cost = "120 EUR"
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.sizing_model import RouteInput
from hoopwright.case.table import Table
from hoopwright.case.tables.material import choose_material
from hoopwright.geometry.press_in_seats import PRESS_IN_SEATS
from hoopwright.geometry.thread import thread_by_designation

KINDS = ("sleeve", "larger seat", "larger thread", "tap through")
THREADED = ("larger thread", "tap through")
PRESSED_PART_KEYS = ("bore", "material", "part_bore", "interference")


def read_routes(rows: list[Table] | None) -> tuple[RouteInput, ...] | None:
    routes = [_route(row) for row in rows or ()]
    return None if None in routes else tuple(r for r in routes if r is not None)


def _route(row: Table) -> RouteInput | None:
    kind = row.choice("kind", {k: k for k in KINDS}, what="kind of route")
    values: dict[str, Any] = {
        "name": row.text("name", example="Larger seat"),
        "kind": kind,
        "needs": row.text("needs", example="boring bar, press", default=""),
        "cost": row.text("cost", example="120 EUR", default=""),
    }
    if kind in THREADED:
        values |= _threaded(row)
    elif kind is not None:
        values |= _pressed(row, seat=kind == "larger seat")
    return row.build(RouteInput, **values)


def _threaded(row: Table) -> dict[str, Any]:
    for key in PRESSED_PART_KEYS:
        if row.has(key):
            row.fault(key, "goes with a pressed part, not with a thread", "drop it")
    text = row.text("thread", example="36 mm x 24 tpi right")
    thread = None
    try:
        thread = thread_by_designation(text) if text else None
    except ValueError as error:
        row.fault("thread", str(error))
    engagement = row.length("engagement", example="20 mm", default=None, above="0 mm")
    return {"thread": thread, "engagement": engagement}


def _pressed(row: Table, *, seat: bool) -> dict[str, Any]:
    bore = row.length("bore", example="41 mm", default=None, above="0 mm")
    name = ""
    if seat:
        if row.has("seat"):
            bore_of = row.choice("seat", PRESS_IN_SEATS, what="press-in seat")
            name = str(row.values["seat"])
            if bore is not None:
                row.fault("bore", "given as well as seat", "keep one of the two")
            bore = bore_of
        elif bore is None:
            row.fault("seat", "missing", f'write e.g. seat = "41 mm", or bore = "{row.example("41 mm")}"')
    own: dict[str, Any] = {} if seat else {"default": None}
    return {
        "bore": bore,
        "seat": name,
        "part_material": choose_material(row) if seat or row.has("material") else None,
        "part_bore": row.length("part_bore", example="34.9 mm", above="0 mm", **own),
        "interference": row.length("interference", example="40 um", above="0 mm", maximum="1 mm", **own),
    }
