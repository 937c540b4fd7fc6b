"""Expressions and units of the working, and names of tests, as one writes them by hand."""

from __future__ import annotations

WRITTEN_AS = (("**", "^"), ("*", "·"), ("sqrt", "√"), ("mm^2", "mm²"), ("mm^3", "mm³"), ("um", "µm"))


def as_written(text: str) -> str:
    """An expression or a unit as one writes it by hand."""
    for machine, written in WRITTEN_AS:
        text = text.replace(machine, written)
    return text


def holding_test(name: str) -> str:
    """A test, file::function, as its file and what it says of the tool."""
    file, _, function = name.partition("::")
    return f"{file}: {function.removeprefix('test_').replace('_', ' ')}"
