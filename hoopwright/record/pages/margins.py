"""Table of margins with numerical error and 95 % interval, then doubts, gaps and advice."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.display.rows import (
    STAGE_LEGEND,
    STAGES,
    Row,
    cell_text,
    demand_and_capacity,
    doubts,
    error_text,
    further_text,
    interval_text,
    margin_cell,
    notes,
    place_text,
    unjudged_text,
    when_text,
)
from hoopwright.record.pages.blocks import Block, as_sentence, bullets, heading, keep_together, table, text


def stage_table(d: dict[str, Any]) -> list[Block]:
    """The margins of all judged rows, a column a stage."""
    judged: list[Row] = [r for r in d["checks"] if r["state"] != "not assessed"]
    rows = [[r["title"], *(cell_text(r, stage) for stage in STAGES)] for r in judged]
    strong = [k for k, r in enumerate(judged) if r["state"] != "holds"]
    return [
        keep_together(
            heading("Ways to fail, by stage of the joint's life"),
            table(["", *STAGES], rows, strong=strong),
            text(" ".join((STAGE_LEGEND, further_text(judged))).strip(), small=True),
        )
    ]


def margins(d: dict[str, Any], units: Units) -> list[Block]:
    judged: list[Row] = [r for r in d["checks"] if r["state"] != "not assessed"]
    rest: list[Row] = [r for r in d["checks"] if r["state"] == "not assessed"]
    strong = [k for k, r in enumerate(judged) if r["state"] != "holds"]
    head = ["", "where and when", "demand", "limit", "factor", "margin", "± mesh", "95 % interval"]
    blocks = [
        keep_together(
            heading("What governs, worst first"),
            table(head, [_row(r, units) for r in judged], left=2, wide=(1,), strong=strong),
            text(
                "± mesh: numerical error, an estimate from three meshes. 95 % interval: from the "
                "uncertainty of the sizes.",
                small=True,
            ),
        )
    ]
    for name, items in (
        ("In doubt", doubts(judged)),
        ("Not judged", [unjudged_text(r, units) for r in rest]),
        ("Advice", notes(judged)),
    ):
        if items:
            blocks += [text(name + ":", small=True), bullets([as_sentence(i) for i in items], small=True)]
    return blocks


def _row(row: Row, units: Units) -> list[str]:
    unit = units.label(row["unit"])
    demand, capacity = demand_and_capacity(row, units)
    where = row["where"]
    moment = (where["stage"], place_text(where, units), when_text(where, units))
    return [
        row["title"],
        ", ".join(part for part in moment if part),
        f"{demand} {unit}",
        f"{capacity} {unit}",
        f"{row['factor']:.2f}",
        margin_cell(row),
        error_text(row, units),
        interval_text(row),
    ]
