"""Published examples beside ours, as text for an 80-column terminal."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.screen.wrapping import paragraph

WORDS = {True: "agrees", False: "DIFFERS"}


def report(d: dict[str, Any], units: Units) -> str:
    """The whole screen of a validation document."""
    parts, forces = d["examples"], d["press_forces"]
    wrong = [p["title"] for p in parts if not p["agrees"]]
    wrong += [] if forces["agrees"] else ["press forces"]
    said = f"Not reproduced: {'; '.join(wrong)}." if wrong else "All published examples are reproduced."
    lines = [*paragraph(f"{said} hoopwright {d['tool']['version']}, solved now on this machine.")]
    for part in parts:
        lines += ["", *_example(part, units)]
    return "\n".join([*lines, "", *_press_forces(forces, units)]) + "\n"


def _example(part: dict[str, Any], units: Units) -> list[str]:
    lines = [*paragraph(part["title"]), *_source(part)]
    lines.append(f"  {'':26s}{'theirs':>12s}{'ours':>13s}{'differs by':>11s}{'allowed':>8s}")
    for v in part["values"]:
        theirs, ours = (_number(v[key], v["unit"], units) for key in ("theirs", "ours"))
        difference, within = f"{100.0 * v['difference']:+.3f} %", f"{100.0 * v['within']:.2g} %"
        numbers = f"{theirs:>12s}{ours:>13s}{difference:>11s}{within:>8s}"
        lines.append(f"  {v['what']:26.26s}{numbers} {WORDS[v['agrees']]}")
    return lines


def _source(part: dict[str, Any]) -> list[str]:
    return paragraph(f"Source ({part['label']}): {part['source']}.", "  ")


def _number(value: float, unit: str, units: Units) -> str:
    """Six significant digits at most: theirs are fewer and stay as printed."""
    return units.given(float(f"{value:.6g}"), unit)


def _press_forces(part: dict[str, Any], units: Units) -> list[str]:
    frictions = {hub: [row[f"friction_{hub}"] for row in part["rows"]] for hub in ("cast_iron", "steel")}
    published, iron = part["friction_published"], frictions["cast_iron"]
    lines = [
        "Friction that a published table of press forces implies",
        *_source(part),
        *paragraph(f"Taken with it: {part['assumed']}.", "  "),
        f"  {'pin':>10s}{'force factor':>16s}{'friction, cast iron':>23s}{'if steel':>12s}",
    ]
    for row in part["rows"]:
        pin = units.text(row["diameter_mm"], "mm", decimals=1 if units.system == "metric" else 0)
        lines.append(
            f"  {pin:>10s}{row['force_factor']:>16.1f}{row['friction_cast_iron']:>23.4f}"
            f"{row['friction_steel']:>12.4f}  {WORDS[row['agrees']]}"
        )
    said = (
        f"Implied: {min(iron):.3f} to {max(iron):.3f}, within {100.0 * part['spread_cast_iron']:.0f} % of "
        f"their mean. Published for pressing steel on steel, oiled to dry ({published['label']}; none was "
        f"found for cast iron): {published['least']:g} to {published['greatest']:g}; a row agrees up to "
        f"{100.0 * published['within']:.0f} % outside that. {part['shows']}"
    )
    return [*lines, *paragraph(said, "  ")]
