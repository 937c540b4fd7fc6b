"""[sleeve]: the inner body as turned, unstressed, before pressing; z as in the shell it enters."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.reader_units import lengths_in
from hoopwright.case.table import Table
from hoopwright.case.tables import thread_limits
from hoopwright.case.tables.lands import given_form, land_tables, process_key, read_surface, surface_keys
from hoopwright.case.tables.material import choose_material, material_key
from hoopwright.case.tables.stock import KEY as STOCK
from hoopwright.case.tables.stock import read_stock
from hoopwright.geometry import BoreZone, Sleeve, Thread
from hoopwright.geometry.thread import thread_by_designation
from hoopwright.geometry.validation import with_ends_snapped
from hoopwright.measured.measured_land import MeasuredLand

_OWN_THREAD = TableKeys(
    "thread",
    "a thread of the case's own, in place of a standard one",
    keys=(
        Key("major", "length", "major diameter", "34.80 mm", "above 0 mm"),
        Key("pitch", "pitch", "pitch", "24 tpi", "above 0 mm"),
        Key("designation", "text", "what it is called", "as stamped", default="own thread"),
        Key("minor", "length", "minor diameter", "33.7 mm", "above 0 mm"),
        Key("hand", "choice", "of the thread", options={"right": False, "left": True}, what="hand"),
    ),
    tables=(thread_limits.KEYS,),
)
_ZONE = TableKeys(
    "bore",
    "a zone of the bore, plain or threaded",
    keys=(
        Key("from", "length", "z of its left end", "0 mm"),
        Key("to", "length", "z of its right end", "20 mm"),
        optional("diameter", "length", "of a plain zone", "36 mm", "above 0 mm"),
        optional("thread", "text", "a standard thread, or a table", "1.37 in x 24 right"),
        optional(
            "cut_pitch_diameter",
            "length",
            "pitch diameter of the thread, measured before pressing",
            "34.16 mm",
            "above 0 mm",
        ),
    ),
    tables=(_OWN_THREAD,),
    rows=True,
    one_of=(("diameter", "thread"),),
)


def _chamfer(side: str) -> Key:
    return Key(
        f"chamfer_{side}",
        "length",
        f"axial length of the chamfer at its {side} end",
        "1 mm",
        "from 0 mm",
        default="0 mm",
    )


KEYS = TableKeys(
    "sleeve",
    "the inner body as turned, unstressed, before pressing; z as in the shell it enters",
    keys=(
        Key("start", "length", "z of its left end when in place", "0 mm", default="0 mm"),
        material_key("of the materials table, or of a [material.NAME] here"),
        STOCK,
        Key("length", "length", "of the sleeve", "73 mm", "above 0 mm"),
        *surface_keys("outside"),
        optional(
            "bore_diameter",
            "length",
            "of the bore, where it is one over the whole length; or zones",
            "34.9 mm",
            "above 0 mm",
        ),
        _chamfer("left"),
        _chamfer("right"),
        optional(
            "turned",
            "flag",
            "it is turned, its sizes are those it has; so where left out if all it sits on has readings",
            True,
        ),
        process_key("sleeve"),
        optional(
            "most_bore_closure",
            "length",
            "your own limit on bore closure, on diameter",
            "20 um",
            "above 0 mm",
        ),
        Key(
            "tap_after_pressing",
            "flag",
            "the threads are chased with a tap after pressing",
            default=False,
            needs=("[[sleeve.bore]] thread",),
        ),
    ),
    tables=(land_tables("outside"), _ZONE),
    required=True,
    one_of=(("outside_diameter", "outside"), ("bore_diameter", "bore")),
)


def read(table: Table) -> dict[str, Any]:
    start = table.get("start")
    length = table.get("length")
    end = None if start is None or length is None else round(start + length, 9)
    material = choose_material(table)
    measured: list[MeasuredLand] = []
    process = table.get("process")
    sleeve = {
        "z_start": start,
        "z_end": end,
        "outside": read_surface(
            table,
            "outside",
            z_start=start,
            z_end=end,
            material=material,
            measured=measured,
            process=process or "",
        ),
        "bore": _bore(table, start, end),
        **table.fields("chamfer_left", "chamfer_right"),
    }
    return {
        "sleeve": table.build(_sleeve, **sleeve),
        "sleeve_material": material,
        "sleeve_stock": read_stock(table),
        "sleeve_measured": tuple(measured),
        "sleeve_turned": table.get("turned"),
        "sleeve_process": process,
        "sleeve_lands_listed": isinstance(table.values.get("outside"), list),
        "max_bore_closure_mm": table.get("most_bore_closure"),
        "tap_after_pressing": table.get("tap_after_pressing"),
    }


def _sleeve(*, z_start: float, z_end: float, outside: Any, bore: Any, **chamfers: float) -> Sleeve:
    return Sleeve(
        z_start=z_start,
        z_end=z_end,
        outside=with_ends_snapped(outside, z_start=z_start, z_end=z_end),
        bore=with_ends_snapped(bore, z_start=z_start, z_end=z_end),
        **chamfers,
    )


def _bore(table: Table, start: Any, end: Any) -> tuple[BoreZone, ...] | None:
    form = given_form(table, "bore", "bore_diameter")
    if form == "bore":
        zones = [_zone(row) for row in table.rows("bore") or ()]
        return tuple(zone for zone in zones if zone is not None)
    if form is None:
        return None
    diameter = table.get("bore_diameter")
    if None in (diameter, start, end):
        return None
    return (BoreZone(start, end, diameter),)


def _zone(row: Table) -> BoreZone | None:
    thread = None
    if row.has("thread"):
        thread = _with_cut_pitch_diameter(row, _thread(row))
        diameter = thread.major if thread else None
        if row.has("diameter"):
            row.fault("diameter", "given as well as thread", "keep one of the two")
    else:
        diameter = row.get("diameter", required=True)
    return row.build(
        BoreZone,
        z_start=row.get("from"),
        z_end=row.get("to"),
        diameter=diameter,
        thread=thread,
    )


def _with_cut_pitch_diameter(row: Table, thread: Thread | None) -> Thread | None:
    """The thread with its measured pitch diameter, which must lie between minor and major."""
    measured = row.get("cut_pitch_diameter")
    if thread is None or measured is None:
        return thread
    if not thread.minor < measured < thread.major:
        row.fault(
            "cut_pitch_diameter",
            lengths_in(
                f"not between the thread's minor diameter, {thread.minor:.3f} mm, "
                f"and its major diameter, {thread.major:.3f} mm",
                row.system,
            ),
            "measure it over wires",
        )
        return None
    return replace(thread, cut_pitch_diameter=measured)


def _thread(row: Table) -> Thread | None:
    if isinstance(row.values["thread"], dict):
        own = row.subtable("thread")
        return None if own is None else _custom_thread(own)
    text = row.get("thread", required=True)
    try:
        return None if text is None else thread_by_designation(text)
    except ValueError as error:
        row.fault("thread", str(error), f'or write thread = {{ major = "{row.example("34.80 mm")}", ... }}')
        return None


def _custom_thread(table: Table) -> Thread | None:
    major, pitch = table.get("major"), table.get("pitch")
    return table.build(
        Thread,
        designation=table.get("designation"),
        major=major,
        pitch=pitch,
        minor=table.get("minor"),
        left_hand=table.get("hand"),
        source="case file",
        limits=thread_limits.read_limits(table),
    )
