"""Expressions and units of the working as one writes them by hand."""

from __future__ import annotations

WRITTEN_AS = (("**", "^"), ("*", "·"), ("sqrt", "√"), ("mm^2", "mm²"), ("mm^3", "mm³"), ("um", "µm"))


def as_written(text: str) -> str:
    """An expression or a unit as one writes it by hand."""
    for machine, written in WRITTEN_AS:
        text = text.replace(machine, written)
    return text
