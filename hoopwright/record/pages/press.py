"""Pressing in: what the press should read, what its reading says, and assembly by heat and cold."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units, margin_text, state_text
from hoopwright.display.press_table import PressRow, counted_from, gauge_notes, gauge_of, press_rows
from hoopwright.display.stop_line import stop_both, stop_mark
from hoopwright.record.pages.blocks import (
    Block,
    bullets,
    facts,
    figure,
    heading,
    keep_together,
    table,
    text,
)

MAX_MARGINS = 4
"""With the inferred fit."""


def press(d: dict[str, Any], units: Units) -> list[Block]:
    part = d["press"]
    if part["blocked"]:
        return [heading("Pressing in"), text(f"Not planned: {part['blocked']}.")]
    if part["force_against_travel"] is None:
        blocks = [keep_together(heading("Slipping in"), bullets(part["advice"], small=True))]
    else:
        blocks = [
            keep_together(heading("Pressing in"), _forces(part, units)),
            *_table(part["force_against_travel"], units),
            figure("press", floats=True),
            bullets(part["advice"], small=True),
        ]
    if part["past_yield"] is not None:
        blocks += [heading("Pressed past yield"), bullets(part["past_yield"]["notes"], small=True)]
    if part["closure_contradicts"]:
        said = text(f"No margin holds: {part['closure_contradicts']}.")
        blocks.append(keep_together(heading("What the press reading says"), said))
    if part["inferred_fit"] is not None:
        found = part["inferred_fit"]
        blocks += [
            keep_together(heading("What the press reading says"), _inferred_fit(found, units)),
            bullets(found["notes"], small=True),
        ]
    return [*blocks, *_heat(part, units)]


def _forces(part: dict[str, Any], units: Units) -> Block:
    curve, friction = part["force_against_travel"], part["force_against_travel"]["friction"]
    gauge = gauge_of(curve)

    def force(which: str) -> str:
        computed = curve[f"greatest_{which}_N"]
        shown = stop_both(computed, units) if which == "stop" else units.both(computed, "N")
        if gauge is None:
            return shown
        least, likely, stop = (
            max(p[f"gauge_{line}_MPa"] for p in curve["positions"]) for line in ("least", "likely", "stop")
        )
        if which != "stop":
            read = gauge.nearest(least if which == "least" else likely)
            return f"{shown}, gauge {gauge.text(read)} {gauge.unit}"
        if gauge.too_coarse(stop=stop, likely=likely):
            return f"{shown}; the gauge is too coarse to show it"
        return f"{shown}, gauge {stop_mark(stop, gauge)}"

    travel = units.along(curve["positions"][-1]["travel_mm"])
    elastic = units.both(curve["greatest_stop_if_elastic_N"], "N") if curve["metal_yields"] else ""
    capacity = curve["capacity_N"]
    return facts(
        [
            ("goes in from", f"the {curve['enters_from']}; {travel} of travel"),
            ("greatest force, likely", force("likely")),
            ("stop above", force("stop")),
            ("the metal yields; if it did not, it would read up to", elastic),
            ("suspect the fit below", force("least")),
            ("to move it after a rest, at most", units.text(curve["restart_force_max_N"], "N")),
            (
                "friction",
                f"{friction['low']:.2f} low, {friction['likely']:.3f} likely, {friction['high']:.2f} high",
            ),
            ("the press can give", "" if capacity is None else units.text(capacity, "N")),
        ]
    )


def _table(curve: dict[str, Any], units: Units) -> list[Block]:
    """Gauge and force at even travels."""
    rows, gauge, force = press_rows(curve, units), gauge_of(curve), units.label("N")
    if not rows:
        return [text(counted_from(curve, units), small=True)]
    head = [f"travel, {units.label('mm')}"]
    if gauge is not None:
        head += [f"gauge, {gauge.unit}: least", "likely", "stop"]
    head += [f"force, {force}: least", "likely", "stop"]
    return [
        table(head, [_cells(row) for row in rows], left=0, wide=range(len(head))),
        text(" ".join([counted_from(curve, units), *gauge_notes(curve, units)]), small=True),
    ]


def _cells(row: PressRow) -> list[str]:
    return [row.travel, *(mark.strip() for mark in row.gauge or ()), *row.force]


def _inferred_fit(found: dict[str, Any], units: Units) -> Block:
    rows = [
        ("read", f"{found['source']}: {units.both(found['peak_N'], 'N')}"),
        (
            "expected",
            units.span(found["expected_low_N"], found["expected_high_N"], "N"),
        ),
    ]
    if "interference_um" not in found:
        take = found["would_take"]
        rows += [
            ("verdict", "not what sizes and friction explain: do not rely on the margins until it is"),
            ("it would take", f"a friction of {take['friction']:.3f} at the likely interference"),
        ]
        if found["misfit"] is not None:
            rows.append(("its shape", found["misfit"]["text"]))
        return facts(rows)
    mu = found["friction"]
    judged = [m for m in found["margins"] if m["state"] != "not assessed"]
    tight, force = found["interference_um"], found["sliding_force_N"]
    checked = "" if found["calibration"] else " (gauge and ram not stated as checked)"
    rows += [
        ("interference now, 95 %", units.span(tight["low"], tight["high"], "um")),
        ("friction now, 95 %", f"{mu['low']:.3f} to {mu['high']:.3f}"),
        ("force to slide it, 95 %", units.span(force["low"], force["high"], "N") + checked),
        (
            "margins with that fit",
            ", ".join(
                f"{m['title']} {margin_text(m['margin'])} ({state_text(m['state'])})"
                for m in judged[:MAX_MARGINS]
            ),
        ),
    ]
    return facts(rows)


def _heat(plan: dict[str, Any], units: Units) -> list[Block]:
    part = plan["heat_and_cold"]
    rows = [
        (
            w["name"],
            units.temperature(w["shell_degC"]),
            units.temperature(w["sleeve_degC"]),
            units.text(w["gap_um"], "um"),
            "too hot"
            if not w["allowed"]
            else "sticks"
            if w["gap_um"] <= 0.0
            else ""
            if w["time_in_hand_s"] is None
            else f"{w['time_in_hand_s']:.0f} s",
        )
        for w in part["ways"]
    ]
    if not rows:
        return []
    gap = (
        f"To slip in with {units.text(part['clearance_um'], 'um')} of clearance over "
        f"{units.text(part['interference_um'], 'um')}. The shell stands "
        f"{units.temperature(part['shell_limit_degC'])}."
    )
    return [
        keep_together(
            heading("By heat and cold" if plan["method"] == "heat" else "Or by heat and cold"),
            table(["way", "shell", "sleeve", "least gap", "in hand"], rows),
            text(gap, small=True),
            bullets(part["notes"], small=True),
        )
    ]
