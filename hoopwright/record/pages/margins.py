"""Table of margins with numerical error and 95 % interval, then doubts, gaps and advice."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units, state_cell
from hoopwright.display.rows import (
    Row,
    demand_and_capacity,
    doubts,
    error_text,
    interval_text,
    notes,
    place_text,
    row_margin,
    unjudged_text,
)
from hoopwright.record.pages.blocks import Block, as_sentence, bullets, heading, table, text


def margins(d: dict[str, Any], units: Units) -> list[Block]:
    judged: list[Row] = [r for r in d["checks"] if r["state"] != "not assessed"]
    rest: list[Row] = [r for r in d["checks"] if r["state"] == "not assessed"]
    strong = [k for k, r in enumerate(judged) if r["state"] != "holds"]
    head = ["check", "demand", "limit", "factor", "margin", "± mesh", "95 % interval", "where", "state"]
    blocks = [
        heading("Margins, worst first"),
        table(head, [_row(r, units) for r in judged], strong=strong),
        text(
            "Margin of safety = limit / (factor × demand) − 1; zero is the limit. ± mesh: numerical "
            "error, an estimate from three meshes. 95 % interval: from the uncertainty of the sizes.",
            small=True,
        ),
    ]
    for name, items in (
        ("In doubt", doubts(judged)),
        ("Not assessed", [unjudged_text(r, units) for r in rest]),
        ("Advice", notes(judged)),
    ):
        if items:
            blocks += [text(name + ":", small=True), bullets([as_sentence(i) for i in items], small=True)]
    return blocks


def _row(row: Row, units: Units) -> list[str]:
    unit = units.label(row["unit"])
    demand, capacity = demand_and_capacity(row, units)
    return [
        row["title"],
        f"{demand} {unit}",
        f"{capacity} {unit}",
        f"{row['factor']:.2f}",
        row_margin(row),
        error_text(row, units),
        interval_text(row),
        place_text(row["where"], units),
        state_cell(row["state"]),
    ]
