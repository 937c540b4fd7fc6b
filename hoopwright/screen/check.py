"""The results of a check as text for an 80-column terminal."""

from __future__ import annotations

from typing import Any

from hoopwright.display.rows import (
    Row,
    against_lame_text,
    angle_text,
    demand_and_capacity,
    doubts,
    interval_text,
    lame_difference,
    lame_numbers,
    notes,
    row_margin,
    unjudged_text,
)
from hoopwright.display.units import Units, state_cell
from hoopwright.screen.service import service_lines
from hoopwright.screen.wrapping import WIDTH, bullets, paragraph, title_lines

LABEL = 26
"""Columns of the names on the left of the facts below the table."""


def report(d: dict[str, Any], units: Units) -> str:
    """The whole screen of a check document: verdict, margins, fit, FE beside Lamé, cautions."""
    rows = d["checks"]
    parts = [
        *title_lines(d["case"]),
        "",
        *paragraph(d["verdict"]),
        "",
        *_margins(rows, units),
        *_advice(rows),
        "",
        *_fit(d["fit"], units),
        *service_lines(d["loads"], units),
        "",
        *_beside_lame(d["closed_form"], units),
        "",
        "Cautions",
        *bullets(d["cautions"]),
        "Limits of the method",
        *bullets(d["limits"]),
    ]
    return "\n".join(parts) + "\n"


def _margins(rows: list[Row], units: Units) -> list[str]:
    judged = [r for r in rows if r["state"] != "not assessed"]
    rest = [r for r in rows if r["state"] == "not assessed"]
    lines = []
    if judged:
        lines += [
            f"{'check':22s} {'demand':>7s} {'limit':>7s} {'':6s} {'fact':>4s} {'margin':>6s} "
            f"{'z ' + units.label('mm'):>6s} {'θ':>4s} state",
            "-" * (WIDTH - 1),
        ]
        lines += [_row(r, units) for r in judged]
        lines += [line for text in doubts(judged) for line in paragraph(f"In doubt: {text}", "  ")]
        lines += _intervals(judged)
    if rest:
        lines += ["", "Not assessed:"]
        lines += [line for r in rest for line in paragraph(unjudged_text(r, units), "  ")]
    return lines


def _row(r: Row, units: Units) -> str:
    demand, capacity = demand_and_capacity(r, units)
    z = "" if r["where"]["z_mm"] is None else units.along_number(r["where"]["z_mm"])
    return (
        f"{r['title']:22.22s} {demand:>7s} {capacity:>7s} {units.label(r['unit']):6s} {r['factor']:4.2f} "
        f"{row_margin(r):>6s} {z:>6s} {angle_text(r['where']):>4s} {state_cell(r['state'])}"
    )


def _intervals(rows: list[Row]) -> list[str]:
    """The 95 % interval of every margin, two to a line; empty where the sizes are given without any ±."""
    cells = [f"{r['title']:22.22s} {text}" for r in rows if (text := interval_text(r, width=6))]
    if not cells:
        return []
    pairs = [" ".join(f"{c:39s}" for c in cells[k : k + 2]).rstrip() for k in range(0, len(cells), 2)]
    return ["", "Margins over the 95 % interval of the sizes:", *pairs]


def _advice(rows: list[Row]) -> list[str]:
    texts = notes(rows)
    return ["", "Advice", *bullets(texts)] if texts else []


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


def _beside_lame(part: dict[str, Any], units: Units) -> list[str]:
    lines = ["Finite elements beside Lamé (frictionless, nominal interference)"]
    for c in part["comparison"]:
        by_elements, by_lame = (f"{text} {units.label(c['unit'])}" for text in lame_numbers(c, units))
        lines.append(
            f"  {c['what']:{LABEL}s} {by_elements:>13s} {by_lame:>13s}  {lame_difference(c):>10s}".rstrip()
        )
    return lines + paragraph(against_lame_text(part, "run"), "  ")
