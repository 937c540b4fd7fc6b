"""The working of rows on a terminal, as on a hand sheet."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.display.working import said_of, value_text, worked_in
from hoopwright.display.written import as_written
from hoopwright.screen.wrapping import entry, paragraph

SYMBOL = 8
UNITS_OF_THE_WORKING = (
    "Worked in {units}. Each line is an input with where it comes from, or an expression in the "
    "symbols above it; demand, limit and margin stand last."
)


def working_lines(row: dict[str, Any], units: Units) -> list[str]:
    """The working of a row of a document, within 80 columns."""
    stage, said = row["where"]["stage"], UNITS_OF_THE_WORKING.format(units=worked_in(units))
    lines = [f"Working: {row['title']}, {stage}", *paragraph(said, "  "), ""]
    if "distribution" in row:
        lines[1:1] = paragraph(f"A row of {row['distribution']}, not of hoopwright.", "  ")
    part = row["working"]
    if part is None:
        return [*lines, "  The case lacks the input to judge this row."]
    lines += _lines(part["lines"], units)
    for hand in (part["by_hand"], *part["loads_by_hand"]):
        lines += _by_hand(part, hand, units) if hand else []
    return lines


def _by_hand(part: dict[str, Any], hand: dict[str, Any], units: Units) -> list[str]:
    title = f"The nearest formula by hand, beside the finite elements: {hand['title']}"
    lines = ["", *paragraph(title, "  ")]
    lines += _lines(hand["lines"], units)
    found = next(line for line in part["lines"] if line["symbol"] == hand["beside"])
    ratio = "" if hand["ratio"] is None else f", {hand['ratio']:.3f} times that"
    text = f"finite elements {hand['beside']} = {value_text(found, units)}{ratio}: {hand['reason']}"
    return [*lines, *entry("  ", text, SYMBOL + 2)]


def _lines(lines: list[dict[str, Any]], units: Units) -> list[str]:
    pairs = zip([None, *lines], lines, strict=False)
    return [text for before, line in pairs for text in _line(line, units, before)]


def _line(line: dict[str, Any], units: Units, before: dict[str, Any] | None) -> list[str]:
    """An input: value, meaning and where it comes from; a step: its expression and value, and below what it
    is."""
    symbol, said = f"  {line['symbol']:{SYMBOL - 1}s}", said_of(line, units, before)
    if not line["expression"]:
        return entry(symbol, f"= {value_text(line, units)}, {said}", SYMBOL + 2)
    value = f"= {as_written(line['expression'])} = {value_text(line, units)}"
    return [*entry(symbol, value, SYMBOL + 2), *entry("", said, SYMBOL + 4)]
