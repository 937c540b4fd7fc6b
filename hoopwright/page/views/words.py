"""Texts as the page sets them: a true minus, no break between a number and its unit."""

from __future__ import annotations

import re

from hoopwright.display import Units, margin_text
from hoopwright.display.units import INCH, METRIC

MINUS, NO_BREAK = "\u2212", "\u00a0"
WHOLE_FROM = 10.0
"""Margins from here on are shown without decimals."""
_LABELS = "|".join(sorted({re.escape(label) for label, _ in (*METRIC.values(), *INCH.values())} | {"%"}))
_NEGATIVE = re.compile(r"(?<![\w.)\]])-(?=\d)")
_UNIT = re.compile(rf"(?<=\d) (?=(?:{_LABELS})(?!\w))")


def typeset(text: str) -> str:
    """A text of a document with true minus signs before numbers, and every unit bound to its number."""
    return _UNIT.sub(NO_BREAK, _NEGATIVE.sub(MINUS, text))


def capital(text: str) -> str:
    """A title or a sentence with a capital at its beginning."""
    return text[:1].upper() + text[1:]


def margin_shown(margin: float | None) -> str:
    """A margin with its sign, e.g. "+0.33", "−0.14", "+38", ">999", or "no loss"."""
    if margin is not None and WHOLE_FROM <= margin < 999.5:
        return f"+{margin:.0f}"
    return typeset(margin_text(margin))


def read_aloud(margin: str) -> str:
    """A margin as shown in words that are read out alike everywhere."""
    return margin.replace("+", "plus ").replace(MINUS, "minus ").replace(">", "above ")


def temperatures(low: float, high: float, units: Units) -> str:
    """A range of temperature in °C, e.g. "−5 to 45 °C"."""
    first = units.temperature(low).rsplit(" ", 1)[0]
    return typeset(units.temperature(low) if low == high else f"{first} to {units.temperature(high)}")
