"""The working of rows on a terminal, as on a hand sheet."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.screen.wrapping import entry, paragraph

SYMBOL = 8
SHOWN_AS = (("**", "^"), ("*", "·"), ("sqrt", "√"), ("mm^2", "mm²"), ("mm^3", "mm³"), ("um", "µm"))
UNITS_OF_THE_WORKING = (
    "Worked in mm, N and MPa. Each line is an input with where it comes from, or an expression in the "
    "symbols above it; demand, limit and margin stand last."
)


def working_lines(row: dict[str, Any], units: Units) -> list[str]:
    """The working of a row of a document, within 80 columns."""
    stage = row["where"]["stage"]
    lines = [f"Working: {row['title']}, {stage}", *paragraph(UNITS_OF_THE_WORKING, "  "), ""]
    part = row["working"]
    if part is None:
        return [*lines, "  The case lacks the input to judge this row."]
    for line in part["lines"]:
        lines += _line(line, units)
    if part["by_hand"]:
        lines += _by_hand(part, units)
    return lines


def _by_hand(part: dict[str, Any], units: Units) -> list[str]:
    hand = part["by_hand"]
    lines = ["", *paragraph("The nearest formula by hand, beside the finite elements:", "  ")]
    for line in hand["lines"]:
        lines += _line(line, units)
    found = next(line for line in part["lines"] if line["symbol"] == hand["beside"])
    by_formula = hand["lines"][-1]["value"]
    ratio = f", {found['value'] / by_formula:.3f} of it" if by_formula else ""
    text = f"finite elements {hand['beside']} = {_value(found, units)}{ratio}: {hand['reason']}"
    return [*lines, *entry("  ", text, SYMBOL + 2)]


def _line(line: dict[str, Any], units: Units) -> list[str]:
    """An input: value, meaning and where it comes from; a step: its expression and value, and below what it
    is."""
    symbol, source = f"  {line['symbol']:{SYMBOL - 1}s}", line["source"]
    origin = f" [{line['origin']}: {source}]" if line["origin"] else f" [{source}]" if source else ""
    said = f"{line['meaning']}{origin}"
    if not line["expression"]:
        return entry(symbol, f"= {_value(line, units)}, {said}", SYMBOL + 2)
    value = f"= {_shown(line['expression'])} = {_value(line, units)}"
    return [*entry(symbol, value, SYMBOL + 2), *entry("", said, SYMBOL + 4)]


def _value(line: dict[str, Any], units: Units) -> str:
    text = f"{line['value']:.6g} {_shown(line['unit'])}".strip()
    if units.system == "inch" and units.label(line["unit"]) != line["unit"]:
        return f"{text} ({units.text(line['value'], line['unit'])})"
    return text


def _shown(text: str) -> str:
    """An expression or a unit as one writes it."""
    for machine, written in SHOWN_AS:
        text = text.replace(machine, written)
    return text
