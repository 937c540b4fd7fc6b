"""The press plan as text for a terminal of 80 columns."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units, margin_text, state_text
from hoopwright.display.press_table import PressRow, counted_from, gauge_notes, gauge_of, press_rows
from hoopwright.display.rows import further_text, in_order_of
from hoopwright.screen.presets import brief_lines
from hoopwright.screen.wrapping import bullets, paragraph

MAX_MARGINS = 8
"""With the inferred fit: the rest have larger ones."""


def report(d: dict[str, Any], units: Units) -> str:
    """The whole screen of a press document: forces, advice, readings, yielding, heat and cold."""
    d = in_order_of(units, d)
    made_up = " (invented data)" if d["case"]["invented"] else ""
    parts = [
        *paragraph(d["case"]["title"] + made_up),
        *brief_lines(d["presets"], named_above=False),
        "",
        *_contradicted(d["inferred_fit"], d["closure_contradicts"]),
        *_failing(d["failing"], d["method"]),
        *_undecided(d["undecided"], d["method"]),
        *_way_in(d, units),
        *bullets(d["advice"]),
    ]
    if d["inferred_fit"] is not None:
        found = d["inferred_fit"]
        parts += ["", "What the press reading says", *bullets(found["notes"]), *_margins(found["margins"])]
    if d["past_yield"] is not None:
        parts += ["", *past_yield_lines(d["past_yield"], units)]
    parts += ["", *heat_lines(d["heat_and_cold"], units), "", "Cautions", *bullets(d["cautions"])]
    return "\n".join(parts) + "\n"


def _way_in(d: dict[str, Any], units: Units) -> list[str]:
    """The forces of a sleeve that is pushed, and what the advice below them is for."""
    if d["force_against_travel"] is None:
        return ["Slipping in"]
    return [*table(d["force_against_travel"], units), "", "At the press"]


def _contradicted(found: dict[str, Any] | None, by_closure: str) -> list[str]:
    """That what was read contradicts the case; nothing where it does not, or nothing was read."""
    if by_closure:
        return [*paragraph(f"No margin holds: {by_closure}."), ""]
    if found is None or "interference_um" in found:
        return []
    return [
        "What was read at the press contradicts the case; no margin holds until that",
        "is explained.",
        "",
    ]


def _failing(cells: list[dict[str, Any]], method: str) -> list[str]:
    """What fails by the time the sleeve is in; nothing where all holds."""
    if not cells:
        return []
    names = ", ".join(f"{c['title']} ({c['stage']}, {margin_text(c['margin'])})" for c in cells)
    do_not = "Do not slip it in" if method == "heat" else "Do not press"
    return [*paragraph(f"{do_not}: {names}. {further_text(cells)}".rstrip()), ""]


def _undecided(doubts: list[str], method: str) -> list[str]:
    """Why it is undecided whether something fails by then; nothing where nothing is in doubt."""
    if not doubts:
        return []
    do_not = "Do not slip it in yet" if method == "heat" else "Do not press yet"
    return [*paragraph(f"{do_not}: {'; '.join(doubts)}."), ""]


def table(part: dict[str, Any], units: Units) -> list[str]:
    """Gauge where the ram is known, then force, at even travels."""
    friction, gauge, rows = part["friction"], gauge_of(part), press_rows(part, units)
    mm = units.label("mm")
    head = [f"{'travel':>7s} {'bearing':>8s}", f"{mm:>7s} {mm:>8s}"]
    if gauge is not None:
        head[0] += f"   {'gauge, ' + gauge.unit:^21s} "
        head[1] += f"   {'least':>6s} {'likely':>7s} {'stop':>6s} "
    head[0] += f"   {'force, ' + units.label('N'):^24s}   {'closed':>7s}"
    head[1] += f"   {'least':>7s} {'likely':>8s} {'stop':>7s}   {'form':>7s}"
    return [
        f"Pressing in from the {part['enters_from']}: sliding friction {friction['low']:g}, "
        f"{friction['likely']:.3g} likely, {friction['high']:g}",
        *paragraph(counted_from(part, units)),
        *(["", *head, "-" * len(head[1]), *(_row(row) for row in rows)] if rows else []),
        *_below(part, units),
    ]


def _row(row: PressRow) -> str:
    text = f"{row.travel:>7s} {row.bearing:>8s}"
    if row.gauge is not None:
        least, likely, stop = row.gauge
        text += f"   {least:>6s} {likely:>7s} {stop:>7s}"
    least, likely, stop = row.force
    return f"{text}   {least:>7s} {likely:>8s} {stop:>7s}   {row.closed_form:>7s}"


def _below(part: dict[str, Any], units: Units) -> list[str]:
    error = max(p["numerical_error_N"] for p in part["positions"])
    elastic = ", no yielding" if part["metal_yields"] else ""
    text = [
        "Likely: nominal interference, likely friction. Least and stop: the 95 % limits of the "
        "interference with low and high friction. Closed form: likely, Lamé slice by slice, no end "
        f"effect{elastic}. Numerical error of the likely force: at most {units.text(error, 'N')}."
    ]
    if part["metal_yields"]:
        text.insert(0, "The metal yields on the way in: these are the forces of metal that gives way.")
    text += gauge_notes(part, units)
    return ["", *(line for words in text for line in paragraph(words))]


def _margins(margins: list[dict[str, Any]]) -> list[str]:
    judged = [m for m in margins if m["state"] != "not assessed"]
    if not judged:
        return []
    lines = ["  Margins with that fit, worst first:"]
    lines += [
        f"    {m['title']:24.24s} {margin_text(m['margin']):>6s}  {state_text(m['state'])}"
        for m in judged[:MAX_MARGINS]
    ]
    if len(judged) > MAX_MARGINS:
        lines.append(f"    and {len(judged) - MAX_MARGINS} more, all with larger margins")
    return lines


def past_yield_lines(part: dict[str, Any], units: Units) -> list[str]:
    """Table over the interference, and what it means."""
    um, newton = units.label("um"), units.label("N")
    lines = [
        "Too tight: pressed past yield (von Mises, perfectly plastic, frictionless)",
        f"{'interference':>12s} {'left of it':>10s} {'push ∫p dA':>11s} {'elastic':>8s} "
        f"{'gain':>6s} {'outside':>8s} {'bore':>7s}",
        f"{um:>12s} {um:>10s} {newton:>11s} {newton:>8s} {'':>6s} {'keeps':>8s} {'closes':>7s}",
    ]
    for s in part["steps"]:
        tight, left, keeps, closes = (
            units.number(s[key], "um")
            for key in ("interference_um", "remaining_um", "outside_growth_um", "bore_closure_um")
        )
        push, elastic = (units.number(s[key], "N") for key in ("normal_force_N", "elastic_normal_force_N"))
        lines.append(
            f"{tight:>12s} {left:>10s} {push:>11s} {elastic:>8s} "
            f"{100 * s['share_of_elastic_gain']:5.0f}% {keeps:>8s} {closes:>7s}"
        )
    return lines + bullets(part["notes"])


def heat_lines(part: dict[str, Any], units: Units) -> list[str]:
    """Temperatures, whether the metal stands them, and the time in hand."""
    lines = [
        f"Heat and cold: to slip in with {units.text(part['clearance_um'], 'um')} of clearance "
        f"over {units.text(part['interference_um'], 'um')}",
        f"  {'':26s} {'shell':>8s} {'sleeve':>8s} {'limit':>8s} {'least gap':>9s}  in hand",
    ]
    for way in part["ways"]:
        seconds = way["time_in_hand_s"]
        time = "-" if seconds is None else _time(seconds)
        if not way["allowed"]:
            time = "too hot"
        elif way["gap_um"] <= 0.0:
            time = "sticks"
        degrees = way["shell_degC"], way["sleeve_degC"], part["shell_limit_degC"]
        at = (units.temperature(t) for t in degrees)
        gap = units.text(way["gap_um"], "um")
        lines.append(f"  {way['name']:26s} " + " ".join(f"{t:>8s}" for t in at) + f" {gap:>9s}  {time}")
    return lines + bullets(part["notes"])


def _time(seconds: float) -> str:
    return f"about {seconds:.0f} s" if seconds < 90.0 else f"about {seconds / 60.0:.0f} min"
