"""The results of a check as text for an 80-column terminal."""

from __future__ import annotations

from typing import Any

from hoopwright.display.rows import (
    STAGE_LEGEND,
    STAGES,
    Row,
    against_lame_text,
    cell_text,
    compound_text,
    doubts,
    further_text,
    governing_text,
    in_order_of,
    lame_difference,
    lame_numbers,
    notes,
    unjudged_text,
)
from hoopwright.display.units import Units
from hoopwright.screen.presets import preset_lines
from hoopwright.screen.service import service_lines
from hoopwright.screen.working import working_lines
from hoopwright.screen.wrapping import boxes, bullets, entry, paragraph, title_lines

TITLE, COLUMN = 26, 10
"""Columns of the titles and of a stage in the table of margins."""
LABEL = 26
"""Columns of the names on the left of the facts below the table."""


def report(d: dict[str, Any], units: Units) -> str:
    """The whole screen of a check document: verdict, margins, fit, FE beside Lamé, cautions."""
    d = in_order_of(units, d)
    rows = d["checks"]
    parts = [
        *title_lines(d["case"]),
        "",
        *paragraph(d["verdict"]),
        *preset_lines(d["presets"], units),
        "",
        *_margins(rows, units),
        *_advice(rows),
        "",
        *_fit(d["fit"], units),
        *_compound(d["compound"], units),
        *service_lines(d["loads"], units),
        "",
        *_beside_lame(d["closed_form"], units),
        *_without_effect(d["without_effect"]),
        "",
        "Before you sign",
        *boxes(point["text"] for point in d["before_signing"]),
        "",
        "Cautions",
        *bullets(d["cautions"]),
        "Limits of the method",
        *bullets(d["limits"]),
    ]
    return "\n".join(parts) + "\n"


def rows_named(d: dict[str, Any], wanted: str) -> list[Row]:
    """The row with a title or a name for machines, or all of them for "all"."""
    names = wanted.lower(), wanted.lower().replace(" ", "_").replace("-", "_")
    return [r for r in d["checks"] if wanted == "all" or r["title"].lower() in names or r["id"] in names]


def workings(d: dict[str, Any], units: Units, rows: list[Row]) -> str:
    """The verdict and the working of some rows."""
    lines = [*title_lines(d["case"]), "", *paragraph(d["verdict"])]
    for row in rows:
        lines += ["", *working_lines(row, units)]
    return "\n".join(lines) + "\n"


def _margins(rows: list[Row], units: Units) -> list[str]:
    judged = [r for r in rows if r["state"] != "not assessed"]
    rest = [r for r in rows if r["state"] == "not assessed"]
    lines = []
    if judged:
        lines += [*stage_table(judged), "", "What governs"]
        for r in judged:
            lines += entry(r["title"], governing_text(r, units), TITLE)
        lines += [line for text in doubts(judged) for line in paragraph(f"In doubt: {text}", "  ")]
    if rest:
        lines += ["", "Not judged:"]
        lines += [line for r in rest for line in paragraph(unjudged_text(r, units), "  ")]
    return lines


def stage_table(rows: list[Row]) -> list[str]:
    """The margins of judged rows, a column a stage."""
    head = "".join(f"{stage:>{COLUMN}s}" for stage in STAGES)
    lines = [f"{'ways to fail':{TITLE}s}{head}", "-" * (TITLE + COLUMN * len(STAGES))]
    for r in rows:
        cells = "".join(f"{cell_text(r, stage):>{COLUMN}s}" for stage in STAGES)
        lines.append(f"{r['title']:{TITLE}.{TITLE}s}{cells}".rstrip())
    further = further_text(rows)
    return [*lines, *paragraph(STAGE_LEGEND, "  "), *(paragraph(further, "  ") if further else [])]


def _advice(rows: list[Row]) -> list[str]:
    texts = notes(rows)
    return ["", "Advice", *bullets(texts)] if texts else []


def _without_effect(notices: list[dict[str, Any]]) -> list[str]:
    return ["", "Keys without effect", *bullets(n["text"] for n in notices)] if notices else []


def _fit(part: dict[str, Any], units: Units) -> list[str]:
    tight, pressure = part["diametral_interference_um"], part["contact_pressure_MPa"]
    interval = ""
    if tight["greatest"] > tight["least"]:
        interval = f"{units.text(tight['least'], 'um')} to {units.text(tight['greatest'], 'um')}"
    facts = (
        ("interference on diameter", units.both(tight["nominal"], "um")),
        ("95 % interval", interval),
        (
            "mean contact pressure",
            f"{units.both(pressure['mean'], 'MPa')}, numerical error "
            f"{units.error(pressure['mean_numerical_error'], 'MPa')}",
        ),
        ("bore closes by", f"{units.both(part['bore_closure_mid_sleeve_um'], 'um')} at mid-sleeve"),
        ("outside grows by", f"{units.both(part['outside_growth_um'], 'um')} at mid-sleeve"),
    )
    return ["Fit", *(f"  {name:{LABEL - 1}s} {text}" for name, text in facts if text)]


def _compound(part: dict[str, Any] | None, units: Units) -> list[str]:
    text = compound_text(part, units)
    return entry("  retaining compound", text, LABEL + 2) if text else []


def _beside_lame(part: dict[str, Any], units: Units) -> list[str]:
    lines = ["Finite elements beside Lamé (frictionless, nominal interference)"]
    for c in part["comparison"]:
        by_elements, by_lame = (f"{text} {units.label(c['unit'])}" for text in lame_numbers(c, units))
        lines.append(
            f"  {c['what']:{LABEL}s} {by_elements:>13s} {by_lame:>13s}  {lame_difference(c):>10s}".rstrip()
        )
    return lines + paragraph(against_lame_text(part, "run"), "  ")
