"""Doubt about what rests on a fit that yields as it is pressed: the elastic solution keeps more of it than
the metal does."""

from __future__ import annotations

from hoopwright.checks.margin import Margin, Stage, doubted

PRESSING: tuple[Stage, ...] = ("entering", "pressed")
ELASTIC_ALONE = (
    "shell_yields",
    "sleeve_yields",
    "wall_left",
    "damage_removed",
    "press_force",
    "ends_crush",
    "stop_yields",
    "drops_in",
)
"""Rows that do not rest on what is left of the fit, or say themselves that the metal yields."""


def doubtful_past_yield(rows: tuple[Margin, ...]) -> tuple[Margin, ...]:
    """The rows, those that rest on the fit in doubt where a body is beyond its yield strength, without any
    factor, by the time it is pressed in."""
    bodies = [row.id.split("_")[0] for row in rows if row.id.endswith("_yields") and _past_yield(row)]
    if not bodies:
        return rows
    doubt = (
        f"the {' and the '.join(bodies)} yields as it is pressed; the fit keeps less than is computed here"
    )
    return tuple(row if row.id in ELASTIC_ALONE else doubted(row, doubt) for row in rows)


def _past_yield(row: Margin) -> bool:
    """Whether a cell of pressing is beyond yield by more than its numerical error."""
    return any(
        cell.demand is not None
        and cell.capacity is not None
        and cell.demand.value - cell.demand.error > cell.capacity.value
        for cell in row.cells
        if cell.stage in PRESSING
    )
