"""What stands on the shop sheet, as texts for the template, from the sheet document alone."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.display.press_table import gauge_notes, gauge_of, press_rows
from hoopwright.record.paper import TYPESETTER_NAME
from hoopwright.record.sheet.half_section import half_section
from hoopwright.sizing.rounding import INCH

WIDTH = {"A4": 181.0, "letter": 186.9}
"""Between the filing edge and the other, mm."""
MAX_PASSES, MAX_STATIONS, MAX_BANDS, MAX_BESIDE = 9, 9, 8, 6
MAX_ANGLES = 6
INVENTED = "Invented data: a demonstration, no real piece"
ANGLES = "0° forward, 90° up, seen from the drive side. Two points cannot see three lobes."


def sheet_page(d: dict[str, Any], units: Units, paper: str) -> dict[str, Any]:
    """The page. d: a sheet document, or as much of a record's; paper: "A4" or "letter"."""
    return {
        "paper": TYPESETTER_NAME[paper],
        "title": d["case"]["title"],
        "keywords": [f"case SHA-256 {d['case']['sha256']}"],
        "invented": INVENTED if d["case"]["invented"] else "",
        "across": d["not_to_be_made"],
        "state": _state(d["state"], d["verdict"]),
        "verdict": d["verdict"],
        "hash": d["case"]["sha256"][:12],
        "date": d["date"],
        "section": _section(d, units, paper),
        "bore": _bore(d, units),
        "read": _read(d, units),
        "turn": _turn(d, units),
        "press": _press(d["press"], units),
        "proof": _proof(d),
        "cautions": d["cautions"],
        "practice": f"Order of work: {d['order_of_work_is']}.",
    }


def _state(state: str, verdict: str) -> str:
    """The state before the verdict; "" where the verdict begins with it."""
    return "" if verdict.lower().startswith(state) else f"{state}. "


def _proof(d: dict[str, Any]) -> list[tuple[bool, str]]:
    """Lines on proof and after-care, and whether each is something to do."""
    lines = d["proof"]["text"]
    to_do = bool(d["proof"]["loads"])
    return [
        *((to_do and k == 0, text) for k, text in enumerate(lines)),
        *((True, t) for t in d["after_care"]),
    ]


def _texts(part: dict[str, Any]) -> list[str]:
    return [step["text"] for step in part["steps"]]


def _section(d: dict[str, Any], units: Units, paper: str) -> dict[str, Any]:
    found = half_section(d, units, WIDTH[paper])
    return found | {"beside": _cut(found["beside"], MAX_BESIDE)}


def _cut(rows: list[Any], limit: int) -> list[Any]:
    """As many of the rows as there is room for, and how many are left out."""
    if len(rows) <= limit:
        return rows
    return [*rows[: limit - 1], f"and {len(rows) - limit + 1} more: `hoopwright size`, record"]


def _bore(d: dict[str, Any], units: Units) -> dict[str, Any]:
    part, mm = d["bore"], units.label("mm")
    passes = part["passes"] or []
    rows = [
        [str(number), units.number(one["diameter_mm"], "mm"), units.number(one["per_side_mm"], "mm")]
        for number, one in enumerate(passes, 1)
    ]
    stops = {number for number, one in enumerate(passes, 1) if one["measure_after"]}
    limit = part["greatest_bore_mm"]
    note = (
        "" if limit is None else f"Bore no further than {units.number_below(limit, 'mm')} {mm}: least wall."
    )
    return {
        "title": f"1  Bore, {mm}",
        "steps": _texts(part),
        "rows": thin_passes(rows),
        "stops": [str(number) for number in stops],
        "note": note,
    }


def thin_passes(rows: list[list[str]]) -> list[list[str]]:
    """The first passes, and the last ones, where there are more than go into the table; a row of dots
    between them, since passes in between take as much each."""
    if len(rows) <= MAX_PASSES:
        return rows
    head = MAX_PASSES - 4
    return [*rows[:head], ["…", "as much each", rows[head][2]], *rows[-3:]]


def _read(d: dict[str, Any], units: Units) -> dict[str, Any]:
    stations = d["read"]["stations"]
    angles = sorted({angle for one in stations for angle in one["angles_deg"]})[:MAX_ANGLES]
    shown = stations
    if len(stations) > MAX_STATIONS:
        step = (len(stations) - 1) / (MAX_STATIONS - 1)
        shown = [stations[round(k * step)] for k in range(MAX_STATIONS)]
    fewer = "" if shown == stations else f" {len(stations)} stations in the case, {MAX_STATIONS} shown."
    return {
        "title": f"2  Read the bore, {units.label('mm')}",
        "steps": _texts(d["read"]),
        "head": [f"z {units.label('mm')}", *(f"{angle:g}°" for angle in angles), units.label("degC")],
        "rows": [units.along_number(one["z_mm"]) for one in shown],
        "note": ANGLES + fewer,
    }


def _turn(d: dict[str, Any], units: Units) -> dict[str, Any]:
    part, mm = d["turn"], units.label("mm")
    shop = units.temperature(part["shop_temperature_degC"])
    what = "Bore to suit the sleeve" if part["cut"] == "shell" else "Turn the sleeve"
    rows = [row for band in part["bands"] for row in _band(band, units, mm)]
    return {
        "title": f"3  {what}, {mm}, shop at {shop}",
        "steps": _texts(part),
        "rows": rows[:MAX_BANDS],
        "note": _turn_note(part, len(rows)),
    }


def _turn_note(part: dict[str, Any], count: int) -> str:
    if count > MAX_BANDS:
        return f"{count} lands, {MAX_BANDS} shown: take the others from `hoopwright size`."
    if count:
        return "Aim and band are what the gauge shows in that shop."
    return "Both are cut: no size is given." if part["done"] else "No size is given: see the verdict."


def _band(band: dict[str, Any], units: Units, mm: str) -> list[list[str]]:
    """Place, aim and band of one land, or of each end of one that tapers, at the shop temperature."""
    if band["ends"]:
        ends = ((f"at {units.along_number(end['z_mm'])}", end) for end in band["ends"])
        return [_place_of_band(place, end, units, mm) for place, end in ends]
    place = units.along_span(band["z_start_mm"], band["z_end_mm"]).removesuffix(f" {mm}")
    return [_place_of_band(place, band, units, mm)]


def _place_of_band(place: str, band: dict[str, Any], units: Units, mm: str) -> list[str]:
    limits, aim = band[f"shop_readable_{mm}"], band["shop_aim_mm"]
    if limits is None or aim is None:
        return [place, "none", "no readable size"]
    decimals, unit = (4, INCH) if units.system == "inch" else (3, 1.0)
    return [place, f"{aim / unit:.{decimals}f}", f"{limits[0]:.{decimals}f} to {limits[1]:.{decimals}f}"]


def _press(part: dict[str, Any], units: Units) -> dict[str, Any]:
    steps = _texts(part)
    if part["blocked"]:
        return {
            "title": "4  Press",
            "steps": [],
            "rows": [],
            "facts": [],
            "note": f"Not planned: {part['blocked']}.",
        }
    if part["method"] == "heat":
        return {
            "title": f"4  Slip in from the {part['enters_from']}, {part['first']} end first",
            "steps": steps,
            "rows": [],
            "facts": _heat(part, units),
            "note": "" if part["allowed"] else "The shell does not stand this heat.",
        }
    ram = part["ram_diameter_mm"]
    with_ram = "" if ram is None else f", ram {units.given(ram, 'mm')}"
    return {
        "title": f"4  Press from the {part['enters_from']}, {part['first']} end first{with_ram}",
        "steps": steps,
        "rows": _marks(part, units),
        "facts": [],
        "note": _marks_note(part, units),
    }


def _heat(part: dict[str, Any], units: Units) -> list[list[str]]:
    seconds = part["in_hand_s"]
    return [
        ["shell", units.temperature(part["shell_degC"])],
        ["sleeve", units.temperature(part["sleeve_degC"])],
        ["least gap", units.text(part["gap_um"], "um")],
        ["in hand", "not known" if seconds is None else f"about {int(seconds)} s"],
    ]


def _marks(part: dict[str, Any], units: Units) -> list[list[str]]:
    """Rows of travel, least and STOP; nothing where nothing bears."""
    marks, gauge = press_rows(part, units), gauge_of(part)
    if not marks:
        return []
    if gauge is None:
        shown, unit = [(row.force[0], row.force[2]) for row in marks], units.label("N")
    else:
        shown, unit = (
            [(row.gauge[0], row.gauge[2].strip()) for row in marks if row.gauge is not None],
            gauge.unit,
        )
    return [
        [f"travel {units.label('mm')}", *(row.travel for row in marks)],
        [f"least {unit}", *(least for least, _ in shown)],
        [f"STOP {unit}", *(stop for _, stop in shown)],
    ]


def _marks_note(part: dict[str, Any], units: Units) -> str:
    if not part["table"][units.system]:
        return "Nothing bears on the way in: it goes in by hand."
    counted = "Travel counts from the leading face flush with the mouth."
    if gauge_of(part) is None:
        return f"{counted} STOP by force, rounded down."
    return " ".join([counted, *gauge_notes(part, units)])
