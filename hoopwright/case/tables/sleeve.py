"""[sleeve]: the inner body as turned, unstressed, before pressing; z as in the shell it enters."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from hoopwright.case.keys import Key, TableKeys, named, optional
from hoopwright.case.reader_units import lengths_in
from hoopwright.case.table import Table
from hoopwright.case.tables import thread_limits
from hoopwright.case.tables.lands import given_form, land_tables, process_key, read_surface, surface_keys
from hoopwright.case.tables.material import choose_material, material_key
from hoopwright.case.tables.stock import KEY as STOCK
from hoopwright.case.tables.stock import read_stock
from hoopwright.case.tables.thread_limits import with_cut_pitch_diameter
from hoopwright.case.without_effect import Notice
from hoopwright.geometry import BoreZone, Shell, Sleeve, Thread
from hoopwright.geometry.facing import faced_flush, proud_ends, wholly_faced_off
from hoopwright.geometry.sleeve import FLANGE, SHOULDER
from hoopwright.geometry.stations import END_TOLERANCE
from hoopwright.geometry.thread import thread_by_designation
from hoopwright.geometry.validation import sleeve_faults, with_ends_snapped
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
_THREAD_CUT_AFTER = replace(
    _OWN_THREAD, name="bored_after", meaning="a thread of the case's own, cut after pressing"
)
_ZONE = TableKeys(
    "bore",
    "a zone of the bore, plain or threaded",
    keys=(
        Key("from", "length", "z of its left end", "0 mm"),
        Key("to", "length", "z of its right end", "20 mm"),
        optional("diameter", "length", "of a plain zone, as it is pressed in", "36 mm", "above 0 mm"),
        optional("thread", "text", "a standard thread, or a table", "1.37 in x 24 right"),
        optional(
            "cut_pitch_diameter",
            "length",
            "pitch diameter of the thread, measured before pressing",
            "34.16 mm",
            "above 0 mm",
        ),
        optional(
            "bored_after",
            "text",
            "diameter or thread it is cut to after pressing; a standard thread, or a table",
            "1.37 in x 24 right",
            needs=("diameter",),
        ),
    ),
    tables=(_OWN_THREAD, _THREAD_CUT_AFTER),
    rows=True,
    one_of=(("diameter", "thread"),),
)


FLANGED = (" or ".join(f'stop = "{stop}"' for stop in FLANGE),)


def _chamfer(side: str) -> Key:
    return Key(
        f"chamfer_{side}",
        "length",
        f"axial length of the chamfer at its {side} end",
        "1 mm",
        "from 0 mm",
        default="0 mm",
    )


def _chamfer_angle(side: str) -> Key:
    return optional(
        f"chamfer_{side}_angle",
        "angle",
        f"of the chamfer at its {side} end, to the axis",
        "15 deg",
        "above 0 deg to 80 deg",
        needs=(f"chamfer_{side}",),
    )


KEYS = TableKeys(
    "sleeve",
    "the inner body as turned, unstressed, before pressing; z as in the shell it enters",
    keys=(
        Key(
            "start",
            "length",
            "z of its left end when in place; with a left flange it is where the flange begins",
            "0 mm",
            default="0 mm",
        ),
        material_key("of the materials table, or of a [material.NAME] here"),
        STOCK,
        Key("length", "length", "of the sleeve, its flange with it", "73 mm", "above 0 mm"),
        *surface_keys("outside"),
        optional(
            "bore_diameter",
            "length",
            "of the bore, where it is one over the whole length; or zones",
            "34.9 mm",
            "above 0 mm",
        ),
        optional(
            "bored_after",
            "text",
            "diameter or standard thread that a bore of one diameter is cut to after pressing",
            "1.37 in x 24 right",
            needs=("bore_diameter",),
        ),
        _chamfer("left"),
        _chamfer_angle("left"),
        _chamfer("right"),
        _chamfer_angle("right"),
        optional(
            "stop",
            "choice",
            "what it is pushed home against: its flange on a face of the shell, or a shoulder in the bore",
            "left flange",
            options=named(*FLANGE, *SHOULDER),
            what="stop",
        ),
        optional("flange_diameter", "length", "of its flange", "50 mm", "above 0 mm", needs=FLANGED),
        optional("flange_thickness", "length", "of its flange", "3 mm", "above 0 mm", needs=FLANGED),
        optional(
            "proud",
            "choice",
            "where it reaches beyond the shell: it stays so, or is faced flush with it after pressing",
            "stays",
            options=named("stays", "faced"),
            what="proud end",
        ),
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
    stop = _stop(table)
    start = table.get("start")
    if FLANGE.get(stop["stop"]) == "left" and not table.has("start"):
        start = None if stop["flange_thickness"] is None else -stop["flange_thickness"]
    length = table.get("length")
    end = None if start is None or length is None else round(start + length, 9)
    neck = _neck(start, end, **stop)
    material = choose_material(table)
    measured: list[MeasuredLand] = []
    process = table.get("process")
    sleeve = {
        "z_start": start,
        "z_end": end,
        "outside": read_surface(
            table,
            "outside",
            z_start=neck[0],
            z_end=neck[1],
            material=material,
            measured=measured,
            process=process or "",
        ),
        "bore": _bore(table, start, end),
        **table.fields("chamfer_left", "chamfer_right", "chamfer_left_angle", "chamfer_right_angle"),
        **stop,
    }
    return {
        "sleeve": table.build(_sleeve, **sleeve),
        "sleeve_material": material,
        "sleeve_stock": read_stock(table),
        "sleeve_measured": tuple(measured),
        "sleeve_turned": table.get("turned"),
        "sleeve_process": process,
        "proud": table.get("proud"),
        "sleeve_lands_listed": isinstance(table.values.get("outside"), list),
        "max_bore_closure_mm": table.get("most_bore_closure"),
        "tap_after_pressing": table.get("tap_after_pressing"),
    }


def proud_faults(shell: Shell, sleeve: Sleeve, proud: str | None) -> list[tuple[str, str, str, str]]:
    """Faults (heading, key, problem, advice) of a sleeve, as it is pressed, that reaches beyond the shell
    where the case does not say that it is to, or of what is faced off it."""
    ends = proud_ends(shell, sleeve)
    if not ends or proud == "stays":
        return []
    if proud == "faced":
        return _facing_faults(shell, sleeve)
    reach = {"left": -sleeve.z_start, "right": sleeve.z_end - shell.width}
    stands = " and ".join(f"{reach[end]:.6g} mm beyond the shell's {end} face" for end in ends)
    advice = (
        'write proud = "stays" if it is to, "faced" if it is faced off, or correct its start and length'
    )
    return [("[sleeve]", "proud", f"missing, and the sleeve reaches {stands}", advice)]


def _facing_faults(shell: Shell, sleeve: Sleeve) -> list[tuple[str, str, str, str]]:
    """Faults of what is faced off: lands and zones that have no part in the finished sleeve, and what is
    left of the sleeve."""
    found = []
    for key, name, stretches in (("outside", "land", sleeve.outside), ("bore", "zone", sleeve.bore)):
        for index, end in wholly_faced_off(shell, sleeve, stretches):
            problem = f"{name} {index + 1} lies wholly beyond the shell's {end} face, in what is faced off"
            blank_end = sleeve.z_start if end == "left" else sleeve.z_end
            advice = f"leave it out, and let the {name} next to it reach to {blank_end:.6g} mm"
            found.append(("[sleeve]", key, problem, advice))
    if found:
        return found
    return [(f"[{one.part}]", *one[1:]) for one in sleeve_faults(faced_flush(shell, sleeve))]


def as_finished(shell: Shell, sleeve: Sleeve, proud: str | None) -> Sleeve:
    """The sleeve as it goes into use, of one that the case gives as it is pressed."""
    return faced_flush(shell, sleeve) if proud == "faced" else sleeve


def notices(shell: Shell, sleeve: Sleeve, proud: str | None) -> tuple[Notice, ...]:
    """The key that says what becomes of a proud end, of a sleeve that has none."""
    idle = proud is not None and not proud_ends(shell, sleeve.unfaced)
    return (Notice("[sleeve]", "proud", "a sleeve that reaches beyond the shell"),) if idle else ()


def _stop(table: Table) -> dict[str, Any]:
    """What the sleeve is pushed home against, and its flange, which has a size only where it is one."""
    stop, keys = table.get("stop"), ("flange_diameter", "flange_thickness")
    flanged = stop in FLANGE
    given = {key: table.get(key, required=flanged) for key in keys}
    return {"stop": stop, **(given if flanged else dict.fromkeys(keys, 0.0))}


def _neck(
    start: float | None, end: float | None, *, stop: Any, flange_thickness: float | None, **_: Any
) -> tuple[float | None, float | None]:
    """z, mm, of both ends of what its outside covers, None where they were faulty."""
    if start is None or end is None or flange_thickness is None:
        return None, None
    return Sleeve(start, end, (), (), stop=stop, flange_thickness=flange_thickness).neck


def _sleeve(*, z_start: float, z_end: float, outside: Any, bore: Any, **more: Any) -> Sleeve:
    found = Sleeve(z_start=z_start, z_end=z_end, outside=outside, bore=bore, **more)
    start, end = found.neck
    return replace(
        found,
        outside=with_ends_snapped(outside, z_start=start, z_end=end),
        bore=with_ends_snapped(bore, z_start=z_start, z_end=z_end),
    )


def _bore(table: Table, start: Any, end: Any) -> tuple[BoreZone, ...] | None:
    form = given_form(table, "bore", "bore_diameter")
    if form == "bore":
        if table.has("bored_after"):
            advice = "give it in each [[sleeve.bore]] that is cut after pressing"
            table.fault("bored_after", "given beside zones of the bore", advice)
        zones = [_zone(row) for row in table.rows("bore") or ()]
        return tuple(zone for zone in zones if zone is not None)
    if form is None:
        return None
    diameter = table.get("bore_diameter")
    if None in (diameter, start, end):
        return None
    return (_pressed_as(table, BoreZone(start, end, diameter)),)


def _zone(row: Table) -> BoreZone | None:
    thread = None
    if row.has("thread"):
        thread = with_cut_pitch_diameter(row, _thread(row))
        diameter = thread.major if thread else None
        if row.has("diameter"):
            row.fault("diameter", "given as well as thread", "keep one of the two")
    else:
        diameter = row.get("diameter", required=True)
    zone = row.build(
        BoreZone,
        z_start=row.get("from"),
        z_end=row.get("to"),
        diameter=diameter,
        thread=thread,
    )
    return None if zone is None else _pressed_as(row, zone)


def _pressed_as(table: Table, zone: BoreZone) -> BoreZone:
    """The zone as it is finished, where its table says that it is bored or threaded after pressing."""
    if not table.has("bored_after"):
        return zone
    if zone.thread is not None:
        advice = "give the bore that it is pressed with as diameter, and the thread as bored_after alone"
        table.fault("bored_after", "given as well as thread", advice)
        return zone
    if table.declared.rows and table.has("cut_pitch_diameter"):
        problem = "given as well as bored_after: there is no thread before pressing"
        table.fault("cut_pitch_diameter", problem, "leave it out")
        return zone
    thread, diameter = _cut_after(table)
    least = diameter if thread is None else thread.minor
    if least is None or diameter is None:
        return zone
    if not zone.diameter < least + (0.0 if thread is None else END_TOLERANCE):
        what = "the diameter it is bored to" if thread is None else "the thread's minor diameter"
        problem = f"the bore it is pressed with, {zone.diameter:.3f} mm, leaves nothing to cut: {what} is "
        table.fault(
            "bored_after",
            lengths_in(f"{problem}{least:.3f} mm", table.system),
            "give the bore that it is pressed with as the diameter",
        )
        return zone
    return replace(zone, diameter=diameter, thread=thread, blank=zone.diameter)


def _cut_after(table: Table) -> tuple[Thread | None, float | None]:
    """Thread, if any, and structural bore of what is cut after pressing, mm; None where it is faulty."""
    given = table.values["bored_after"]
    if isinstance(given, dict) or (isinstance(given, str) and re.search("[x×]", given)):
        thread = _thread(table, "bored_after")
        return thread, None if thread is None else thread.major
    return None, table.length_in_text("bored_after", above="0 mm")


def _thread(row: Table, key: str = "thread") -> Thread | None:
    in_zone = bool(row.declared.tables) and row.declared.rows
    if isinstance(row.values[key], dict) and in_zone:
        own = row.subtable(key)
        return None if own is None else _custom_thread(own)
    text = row.get(key, required=True)
    try:
        return None if text is None else thread_by_designation(text)
    except ValueError as error:
        own_one = f'or write {key} = {{ major = "{row.example("34.80 mm")}", ... }}'
        row.fault(key, str(error), own_one if in_zone else "or give the bore as [[sleeve.bore]] zones")
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
