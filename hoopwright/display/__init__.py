"""What a person reads: numbers with their units, margins, and the texts that screen and record share."""

from hoopwright.display.units import Units, margin_text, state_text

__all__ = ["Units", "margin_text", "state_text"]
