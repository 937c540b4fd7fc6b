"""[[route]]: other ways to repair the same shell, for `hoopwright compare`."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys, named, optional
from hoopwright.case.sizing_model import RouteInput
from hoopwright.case.table import Table
from hoopwright.case.tables.material import choose_material, material_key
from hoopwright.geometry.press_in_seats import PRESS_IN_SEATS
from hoopwright.geometry.thread import thread_by_designation

KINDS = ("sleeve", "larger seat", "larger thread", "tap through")
THREADED = ("larger thread", "tap through")
PRESSED_PART_KEYS = ("bore", "material", "part_bore", "interference")

KEYS = TableKeys(
    "route",
    "another way to repair the same shell, to be compared with it",
    keys=(
        Key("kind", "choice", "of route", options=named(*KINDS), what="kind of route"),
        Key("name", "text", "of the route", "Larger seat"),
        Key("needs", "text", "what it needs, as you see it", "boring bar, press", default=""),
        Key("cost", "text", "what it costs, as you see it", "120 EUR", default=""),
        optional(
            "bore",
            "length",
            "after cutting; a sleeve keeps the case's when left out",
            "41 mm",
            "above 0 mm",
        ),
        optional(
            "seat",
            "choice",
            "larger seat: a published press-in seat, instead of bore",
            options=PRESS_IN_SEATS,
            what="press-in seat",
        ),
        optional("thread", "text", "larger thread, tap through: a standard thread", "36 mm x 24 tpi right"),
        optional("engagement", "length", "engaged length of that thread", "20 mm", "above 0 mm"),
        material_key("of the sleeve, or of the part pressed into the seat", default=None),
        optional("part_bore", "length", "bore of that part", "34.9 mm", "above 0 mm"),
        optional(
            "interference",
            "length",
            "of that part in the shell, on diameter",
            "40 um",
            "above 0 mm to 1 mm",
        ),
    ),
    rows=True,
)


def read_routes(rows: list[Table] | None) -> tuple[RouteInput, ...] | None:
    routes = [_route(row) for row in rows or ()]
    return None if None in routes else tuple(r for r in routes if r is not None)


def _route(row: Table) -> RouteInput | None:
    kind = row.get("kind")
    values: dict[str, Any] = {
        "kind": kind,
        **row.fields("name", "needs", "cost"),
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
    text = row.get("thread", required=True)
    thread = None
    try:
        thread = thread_by_designation(text) if text else None
    except ValueError as error:
        row.fault("thread", str(error))
    return {"thread": thread, "engagement": row.get("engagement")}


def _pressed(row: Table, *, seat: bool) -> dict[str, Any]:
    bore = row.get("bore")
    name = ""
    if seat:
        if row.has("seat"):
            bore_of = row.get("seat")
            name = str(row.values["seat"])
            if bore is not None:
                row.fault("bore", "given as well as seat", "keep one of the two")
            bore = bore_of
        elif bore is None:
            row.fault("seat", "missing", f'write e.g. seat = "41 mm", or bore = "{row.example("41 mm")}"')
    return {
        "bore": bore,
        "seat": name,
        "part_material": choose_material(row) if seat or row.has("material") else None,
        "part_bore": row.get("part_bore", required=seat),
        "interference": row.get("interference", required=seat),
    }
