"""What is said of the bands beside the edges of a rigid clamp, which govern no row under loads."""

from __future__ import annotations

from dataclasses import replace

from hoopwright.case.model import Case
from hoopwright.checks.margin import Margin
from hoopwright.clamp_edges import clamp_edges, unjudged_under_loads

PART_OF = {
    "shell_yields": "shell",
    "sleeve_yields": "sleeve",
    "joint_opens": "seat",
    "joint_slips": "seat",
    "shell_fatigue_sines": "shell",
    "shell_fatigue_walker": "shell",
    "sleeve_fatigue_sines": "sleeve",
    "sleeve_fatigue_walker": "sleeve",
}
"""The rows that stress or pressure under loads enters, and whose it is."""


def all_beside_clamp(part: str) -> str:
    """Why a part, "shell", "sleeve" or "seat", is not judged under loads."""
    return (
        f"not judged under loads: all of the {part} lies within a wall of an edge of [service.clamped], "
        "where stress and pressure are those of a rigid clamp; give what holds the shell as "
        "[[service.tube]], or a longer band"
    )


def beside_clamp_said(case: Case, rows: tuple[Margin, ...]) -> tuple[Margin, ...]:
    """The rows, those with loads on them saying where they are not judged."""
    edges = clamp_edges(case)
    if not edges.bands:
        return rows
    hidden = unjudged_under_loads(case)
    bands = (
        f"under loads not judged within a wall of the edges of [service.clamped], z {edges.text}, where "
        "stress and pressure are those of a rigid clamp"
    )
    return tuple(
        _noted(row, all_beside_clamp(part) if part in hidden else bands)
        if (part := PART_OF.get(row.id, ""))
        else row
        for row in rows
    )


def _noted(row: Margin, note: str) -> Margin:
    """The row, and its cell in use, with a note where it is judged in use."""
    if not any(cell.stage == "in use" for cell in row.cells):
        return row
    cells = tuple(_with(cell, note) if cell.stage == "in use" else cell for cell in row.cells)
    return replace(_with(row, note), cells=cells)


def _with(cell: Margin, note: str) -> Margin:
    return replace(cell, note="; ".join(part for part in (cell.note, note) if part))
