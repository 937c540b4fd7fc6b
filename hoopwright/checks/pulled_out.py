"""Doubt about stress and pressure where a single cup, its flange on the shell, pulls the sleeve harder than
friction holds it."""

from __future__ import annotations

from dataclasses import replace

from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin, Stage

STAGES_OF_CUPS: tuple[Stage, ...] = ("cups", "in use")
REST_ON_THE_PULL = (
    "shell_yields",
    "sleeve_yields",
    "sleeve_buckles",
    "stays_tight",
    "joint_opens",
    "joint_slips",
    "shell_fatigue_sines",
    "shell_fatigue_walker",
    "sleeve_fatigue_sines",
    "sleeve_fatigue_walker",
)
"""Rows that stress or pressure with the cup tight enters."""


def doubtful_if_pulled_out(evidence: Evidence, rows: tuple[Margin, ...]) -> tuple[Margin, ...]:
    """The rows, those that rest on stress or pressure in doubt in the stages with the cup tight, where it
    draws the sleeve out."""
    if not evidence.is_pulled_out:
        return rows
    (side,) = evidence.case.pulling_cups
    compound = "; what the compound holds is not in the stress" if evidence.case.compound else ""
    doubt = (
        f"the {side} cup, by itself, pulls harder than friction may hold: there is no equilibrium with it "
        f"tight, and only what friction does hold was judged{compound}; let its flange bear on the sleeve"
    )
    return tuple(_doubted(row, doubt) if row.id in REST_ON_THE_PULL else row for row in rows)


def _doubted(row: Margin, doubt: str) -> Margin:
    """The row with its cells in the stages of the cups in doubt, where they were not yet."""
    if not any(cell.stage in STAGES_OF_CUPS for cell in row.cells):
        return row
    cells = tuple(
        replace(cell, doubt=cell.doubt or doubt) if cell.stage in STAGES_OF_CUPS else cell
        for cell in row.cells
    )
    return replace(row, doubt=row.doubt or doubt, cells=cells)
