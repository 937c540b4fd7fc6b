"""Advice that checks give beside their margins: each piece once, with the lines it is for."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from hoopwright.checks import Margin

WIDTH = 79


def advice(margins: Iterable[Margin]) -> list[str]:
    """The notes of assessed lines; empty where there is none."""
    told: dict[str, list[str]] = {}
    for m in margins:
        if m.margin is not None and m.note:
            told.setdefault(m.note, []).append(m.title)
    lines = ["", "Advice"] if told else []
    for note, titles in told.items():
        lines += textwrap.wrap(f"{', '.join(titles)}: {note}.", WIDTH, initial_indent="  - ",
                               subsequent_indent="    ")
    return lines
