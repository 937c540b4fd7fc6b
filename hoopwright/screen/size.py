"""`hoopwright size` as text for an 80-column terminal."""

from __future__ import annotations

from typing import Any

from hoopwright.display.rows import clash_text, further_text, in_order_of
from hoopwright.display.units import Units, percent_text
from hoopwright.screen.bands import aim_lines, band_lines, order_of
from hoopwright.screen.came_out import came_out_sections
from hoopwright.screen.presets import brief_lines
from hoopwright.screen.wrapping import WIDTH, bullets, paragraph, title_lines

AFTERWARDS = {
    "sleeve": "Once it is turned, give its readings, or its size and [sleeve] turned = true, and run this "
    "again: it says whether to press it, and the ways out if not.",
    "shell": "Once it is bored, give its readings, or its size and [shell] bored = true, and run this "
    "again: it says whether to press it, and the ways out if not.",
}
"""What comes after a cut, by the part."""


def report(d: dict[str, Any], units: Units) -> str:
    """The whole screen of a size document: verdict, sizes to cut to, window, fit, readings, boring plan."""
    d = in_order_of(units, d)
    further = further_text(d["checks"])
    sections = [
        [
            *title_lines(d["case"]),
            "",
            *paragraph(d["verdict"]),
            *brief_lines(d["presets"], named_above=True),
        ],
        *(came_out_sections(d["came_out"], units) if d["came_out"] is not None else []),
        _bands(d["turn_to"], units) if d["turn_to"] is not None else [],
        [*_window(d["window"], units), *_trials(d["tried"], units)],
        _fit(d["fit"], d["decision"], units),
        *(_land(land, units) for land in d["readings"]),
        _boring(d["boring"], units) if d["boring"] is not None else [],
        paragraph(further) if further else [],
        ["Cautions", *bullets(d["cautions"])],
    ]
    return "\n\n".join("\n".join(lines) for lines in sections if lines) + "\n"


def _bands(part: dict[str, Any], units: Units) -> list[str]:
    what = "Turn the sleeve's outside to" if part["cut"] == "sleeve" else "Bore the shell to"
    order = order_of(units)
    lines = [f"{what:40s} {order[0]:>18s} {order[1]:>18s}", "-" * (WIDTH - 1)]
    for band in part["bands"]:
        lines += band_lines(band, part["shop_temperature_degC"], units)
        lines += aim_lines(band, part["shop_temperature_degC"], units)
    gauge = part["gauge"] or "a reading as good as the stated ±"
    gauge += _as_warm_as(part, units)
    guard = max(band["guard_um"] for band in part["bands"])
    return [
        *lines,
        *paragraph(
            f"Read with {gauge}, a size in the band leaves the fit in the window with at least "
            f"{100 * part['confidence']:g} % confidence; {units.text(guard, 'um')} is held "
            "back from each end of it.",
            "  ",
        ),
        *paragraph(_aim_text(part, units), "  "),
        *paragraph(AFTERWARDS[part["cut"]], "  "),
    ]


def _as_warm_as(part: dict[str, Any], units: Units) -> str:
    """The temperature of the gauge, where the shop is not at 20 °C; "" elsewhere."""
    at, shop = part["gauge_temperature_degC"], part["shop_temperature_degC"]
    if part["gauge"] is None or (at is None and shop == 20.0):
        return ""
    return " (as warm as the shop)" if at is None else f" (itself at {units.temperature(at)})"


def _aim_text(part: dict[str, Any], units: Units) -> str:
    """How the aim is chosen, and how likely what is cut ends inside its band; "" where there is no aim."""
    aimed = [band for band in part["bands"] if band["chance"] is not None]
    if not aimed:
        return ""
    sleeve = part["cut"] == "sleeve"
    scatter = units.text(part["turning_scatter_um"], "um")
    whose = (
        ""
        if part["turning_scatter_given"]
        else " (common practice, no source: give [size] turning_scatter)"
    )
    least = min(aimed, key=lambda band: band["chance"])
    first, ending = (percent_text(least[key]) for key in ("chance_at_the_first_cut", "chance"))
    spare = "large" if sleeve else "small"
    where = (
        f"The band is narrow for that, so the aim lies towards its {spare} side, which can be cut again"
        if part["aim_off_centre"]
        else "The aim is the middle of the band"
    )
    return (
        f"What is cut is taken to scatter by {scatter} (standard deviation) about the aim{whose}. {where}: "
        f"{first} come out inside at the first cut, and {ending} end inside where one too {spare} is cut "
        "again."
    )


def _window(window: dict[str, Any], units: Units) -> list[str]:
    lines = [f"Window of interference as measured, on diameter at {units.temperature(20.0)}"]
    if not window["empty"]:
        lines.append(_end("from", "below", window["least"], units))
        lines.append(_end("to", "above", window["greatest"], units))
        return lines
    if window["withheld"]:
        return lines + paragraph(f"withheld: {window['withheld']}", "  ")
    lines.append("  empty: no interference satisfies every check")
    for c in window["clash"]:
        at = c["measured_interference_um"]
        lines.append(
            f"    {c['title']:24s} {c['what']}" + ("" if at is None else f" {units.both(at, 'um')}")
        )
        lines += paragraph(f"in doubt: {c['doubt']}", "      ") if c["doubt"] else []
    return lines


def _end(word: str, side: str, end: dict[str, Any], units: Units) -> str:
    at = f"  {word:5s} {units.both(end['measured_interference_um'], 'um'):24s}"
    if end["by"] is None:
        return f"{at} no check fails this far; search ends"
    return f"{at} fails {side}: {end['title']}" + (" (in doubt)" if end["doubt"] else "")


def _trials(remedies: list[dict[str, Any]], units: Units) -> list[str]:
    if not remedies:
        return []
    lines = ["Tried, one change at a time, with the same checks:"]
    for t in remedies:
        lines += bullets((f"{t['change']}: {_trial_text(t['window'], units)}",))
    return lines


def _trial_text(window: dict[str, Any] | None, units: Units) -> str:
    if window is None:
        return "cannot be made"
    if window["empty"]:
        return "still empty: " + "; ".join(clash_text(c, units) for c in window["clash"])
    low, high = (window[key]["measured_interference_um"] for key in ("least", "greatest"))
    return f"opens {units.text(low, 'um')} to {units.text(high, 'um')}"


def _fit(part: dict[str, Any], decision: dict[str, Any] | None, units: Units) -> list[str]:
    tight, seats = part["measured_interference_um"], part["seats"]
    lines = [
        "The fit as the case stands",
        f"  interference on diameter  {units.both(tight['nominal'], 'um')}",
    ]
    if tight["greatest"] > tight["least"]:
        interval = f"{units.text(tight['least'], 'um')} to {units.text(tight['greatest'], 'um')}"
        lines.append(f"  95 % interval             {interval}")
    if decision is not None:
        lines.append(f"  chance that it is in the window {percent_text(decision['probability'])}")
    if part["smoothing_um"]:
        lines += [
            f"  pressing flattens, most   {units.both(part['smoothing_um'], 'um')} "
            f"({part['smoothing_share_of_both_Rz']:.3g} × both Rz), holding",
            f"    and least               {units.both(part['least_smoothing_um'], 'um')} "
            f"({part['least_smoothing_share_of_both_Rz']:.3g} × both Rz), stress",
        ]
    if seats[0]["thermal_um"]:
        lines.append(f"  at the temperature of use {units.both(seats[0]['thermal_um'], 'um')} added")
    by_lands = {(s["bore_land"], s["sleeve_land"]): s for s in reversed(seats)}
    if len(by_lands) > 1:
        lines += [
            f"    from z {units.along(s['z_start_mm']):18s} {units.text(s['likely_um'], 'um')}, "
            f"{units.text(s['least_um'], 'um')} to {units.text(s['greatest_um'], 'um')}"
            for s in reversed(by_lands.values())
        ]
    return lines


def _land(m: dict[str, Any], units: Units) -> list[str]:
    lines = [
        f"Readings of the {m['part']}'s {m['surface']}, land {m['land']}: {m['count']}",
        f"  mean diameter at {units.temperature(20.0):8s} {units.measured_diameter(m['diameter_mm'])} "
        f"± {units.text(m['plus_minus_um'], 'um')} (95 %)",
    ]
    for name, key in (
        ("taper over the land", "taper_um"),
        ("ovality", "ovality_um"),
        ("bell-mouth", "bell_mouth_um"),
    ):
        if m[key] is not None:
            angle = m["ovality_angle_deg"] if key == "ovality_um" else None
            at = "" if angle is None else f", largest at {angle:.0f}°"
            lines.append(f"  {name:25s} {units.text(m[key], 'um')}{at}")
    lines.append("  standard uncertainties:")
    decimals = 3 if units.system == "inch" else 2
    for p in m["budget"]:
        dof = p["degrees_of_freedom"]
        kind = p["distribution"] + ("" if dof is None else f", {dof:.0f} degrees of freedom")
        size = units.text(p["standard_uncertainty_um"], "um", decimals=decimals)
        line = f"    {p['source']:27s} {size} ({kind})"
        if len(line) < WIDTH:
            lines.append(line)
        else:  # the name of a gauge may be long
            lines += [f"    {p['source']}", f"    {'':27s} {size} ({kind})"]
    root_sum_of_squares = units.text(m["standard_uncertainty_um"], "um", decimals=decimals)
    return [*lines, f"    {'combined':27s} {root_sum_of_squares}", *bullets(m["notes"])]


def _boring(plan: dict[str, Any], units: Units) -> list[str]:
    enough = {None: "", True: ", enough", False: ", LESS THAN YOUR LIMIT"}[plan["wall_enough"]]
    lines = [
        "Boring plan" + (", to the largest land; stop short for the others" if plan["stepped"] else ""),
        f"  least bore that cleans up {units.both(plan['clean_up_mm'], 'mm')}, runout counted",
        f"  target bore               {units.both(plan['target_mm'], 'mm')}",
        f"  wall left, thin side      {units.both(plan['wall_mm'], 'mm')}{enough}",
    ]
    if not plan["cleans_up"]:
        lines.append("  The bore of the case does NOT remove the damage: plan the larger one.")
    for k, p in enumerate(plan["passes"], start=1):
        stop = "  stop, let it cool, measure" if p["measure_after"] else ""
        lines.append(
            f"  pass {k}: to {units.text(p['diameter_mm'], 'mm')}, "
            f"{units.text(p['per_side_mm'], 'mm')} per side{stop}"
        )
    return [*lines, *bullets(plan["advice"])]
