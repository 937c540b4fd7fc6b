"""[sleeve]: the inner body as turned, unstressed, before pressing; z as in the shell it enters.

material = "1025 steel"
start = "0 mm"                  optional: z of its left end when in place
length = "73 mm"
outside_diameter = "39.050 mm"  or [[sleeve.outside]] lands
outside_plus_minus = "5 um"     optional
bore_diameter = "34.9 mm"       or [[sleeve.bore]] zones, each
                                  from, to, and either
                                  diameter = "36 mm" or
                                  thread = "1.37 in x 24 right" (a standard thread) or
                                  thread = { major = "34.80 mm", pitch = "24 tpi",
                                             minor = "33.7 mm", hand = "right" }
                                (limits = { ... } there gives limits of size, see thread_limits.py)
                                cut_pitch_diameter = "34.16 mm"   optional: measured before pressing
chamfer_left = "1 mm"           optional, axial length; likewise chamfer_right
most_bore_closure = "40 um"     optional: the user's own limit on bore closure, on diameter
tap_after_pressing = true       optional: the threads are chased with a tap after pressing
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hoopwright.case.table import Table
from hoopwright.case.tables.lands import given_form, read_surface
from hoopwright.case.tables.material import choose_material
from hoopwright.case.tables.thread_limits import read_limits
from hoopwright.geometry import BoreZone, Sleeve, Thread
from hoopwright.geometry.thread import thread_by_designation
from hoopwright.geometry.validation import with_ends_snapped
from hoopwright.measured.measured_land import MeasuredLand


def read(table: Table) -> dict[str, Any]:
    start = table.length("start", example="0 mm", default="0 mm")
    length = table.length("length", example="73 mm", above="0 mm")
    end = None if start is None or length is None else round(start + length, 9)
    material = choose_material(table)
    measured: list[MeasuredLand] = []
    sleeve = {
        "z_start": start,
        "z_end": end,
        "outside": read_surface(
            table, "outside", z_start=start, z_end=end, material=material, measured=measured
        ),
        "bore": _bore(table, start, end),
        "chamfer_left": table.length("chamfer_left", example="1 mm", default="0 mm", minimum="0 mm"),
        "chamfer_right": table.length("chamfer_right", example="1 mm", default="0 mm", minimum="0 mm"),
    }
    return {
        "sleeve": table.build(_sleeve, **sleeve),
        "sleeve_material": material,
        "sleeve_measured": tuple(measured),
        "max_bore_closure_mm": table.length(
            "most_bore_closure", example="20 um", default=None, above="0 mm"
        ),
        "tap_after_pressing": table.flag("tap_after_pressing", default=False),
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
    diameter = table.length("bore_diameter", example="34.9 mm", above="0 mm")
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
        diameter = row.length("diameter", example="36 mm", above="0 mm")
    return row.build(
        BoreZone,
        z_start=row.length("from", example="0 mm"),
        z_end=row.length("to", example="20 mm"),
        diameter=diameter,
        thread=thread,
    )


def _with_cut_pitch_diameter(row: Table, thread: Thread | None) -> Thread | None:
    """The thread with its measured pitch diameter, which must lie between minor and major."""
    measured = row.length("cut_pitch_diameter", example="34.16 mm", default=None, above="0 mm")
    if thread is None or measured is None:
        return thread
    if not thread.minor < measured < thread.major:
        row.fault(
            "cut_pitch_diameter",
            f"not between the thread's minor diameter, {thread.minor:.3f} mm, "
            f"and its major diameter, {thread.major:.3f} mm",
            "measure it over wires",
        )
        return None
    return replace(thread, cut_pitch_diameter=measured)


def _thread(row: Table) -> Thread | None:
    if isinstance(row.values["thread"], dict):
        own = row.subtable("thread")
        return None if own is None else _custom_thread(own)
    text = row.text("thread", example="1.37 in x 24 right")
    try:
        return None if text is None else thread_by_designation(text)
    except ValueError as error:
        row.fault("thread", str(error), f'or write thread = {{ major = "{row.example("34.80 mm")}", ... }}')
        return None


def _custom_thread(table: Table) -> Thread | None:
    major = table.length("major", example="34.80 mm", above="0 mm")
    pitch = table.pitch("pitch", example="24 tpi", above="0 mm")
    hands = {"right": False, "left": True}
    return table.build(
        Thread,
        designation=table.text("designation", example="as stamped", default="own thread"),
        major=major,
        pitch=pitch,
        minor=table.length("minor", example="33.7 mm", above="0 mm"),
        left_hand=table.choice("hand", hands, what="hand"),
        source="case file",
        limits=read_limits(table),
    )
