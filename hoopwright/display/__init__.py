"""What a person reads: numbers with their units, margins, and the texts that screen and record share."""

from hoopwright.display.units import (
    Units,
    flagged_margin,
    margin_text,
    percent_text,
    state_cell,
    state_text,
)

__all__ = ["Units", "flagged_margin", "margin_text", "percent_text", "state_cell", "state_text"]
