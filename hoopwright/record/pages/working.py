"""Working of every row: the lines from the inputs to the margin, set as formulae."""

from __future__ import annotations

from typing import Any

from hoopwright.display import Units
from hoopwright.display.working import said_of, value_text, worked_in
from hoopwright.record.formula import typeset, typeset_symbol
from hoopwright.record.pages.blocks import Block, heading, text

INTRODUCTION = (
    "How each margin follows from the inputs, worked in {units}. Each line is an input with where it "
    "comes from, or an expression in the symbols above it; demand, limit and margin stand last. Below "
    "them stand the nearest formulae by hand, beside what the finite elements found; inputs that all these "
    "formulae share are listed once at the end. Lines that a row begins with as one above it stand only "
    "there."
)
SHARED = "Inputs of all formulae by hand"
LEAST_REPEATED = 4
"""Lines from which on a row that begins as another did only says so."""


def working(d: dict[str, Any], units: Units) -> list[Block]:
    """The chapter; nothing where the document has no working."""
    rows = [r for r in d["checks"] if r.get("working")]
    if not rows:
        return []
    shared = _shared_by_hand(rows)
    blocks = [_row(r, rows[:k], shared, units) for k, r in enumerate(rows)]
    if shared:
        blocks.append({"title": SHARED, "as_before": "", "lines": _lines(shared, units), "hands": []})
    introduction = INTRODUCTION.format(units=worked_in(units))
    return [heading("Working"), text(introduction, small=True), {"kind": "workings", "rows": blocks}]


def _shared_by_hand(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The inputs that stand alike in every formula by hand that has them."""
    found: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        for hand in _hands(row["working"]):
            for line in hand["lines"]:
                if line["expression"] is None:
                    found.setdefault(line["symbol"], []).append(line)
    return [lines[0] for lines in found.values() if len(lines) > 1 and all(x == lines[0] for x in lines)]


def _hands(part: dict[str, Any]) -> list[dict[str, Any]]:
    """The formulae by hand of a working."""
    return [hand for hand in (part["by_hand"], *part["loads_by_hand"]) if hand]


def _row(
    row: dict[str, Any], earlier: list[dict[str, Any]], shared: list[dict[str, Any]], units: Units
) -> dict[str, Any]:
    part = row["working"]
    as_before, lines = _not_repeated(row, earlier)
    return {
        "title": ", ".join((row["title"], row["where"]["stage"], *_origin(row))),
        "as_before": as_before,
        "lines": _lines(lines, units),
        "hands": [
            {
                "title": hand["title"],
                "lines": _lines([line for line in hand["lines"] if line not in shared], units),
                "beside": _beside(part, hand, units),
            }
            for hand in _hands(part)
        ],
    }


def _not_repeated(row: dict[str, Any], earlier: list[dict[str, Any]]) -> tuple[str, list[dict[str, Any]]]:
    """What a row begins with as one before it, in words, and the lines from there on."""
    lines, most, like = row["working"]["lines"], 0, ""
    for other in earlier:
        pairs = zip(lines, other["working"]["lines"], strict=False)
        alike = next((k for k, (a, b) in enumerate(pairs) if a != b), 0)
        if alike > most:
            most, like = alike, other["title"]
    if most < LEAST_REPEATED:
        return "", lines
    return f"The first {most} lines are those of {like}.", lines[most:]


def _origin(row: dict[str, Any]) -> list[str]:
    return [f"of {row['distribution']}"] if "distribution" in row else []


def _beside(part: dict[str, Any], hand: dict[str, Any], units: Units) -> str:
    found = next(line for line in part["lines"] if line["symbol"] == hand["beside"])
    ratio = "" if hand["ratio"] is None else f", {hand['ratio']:.3f} times that"
    return f"finite elements: {value_text(found, units)}{ratio}; {hand['reason']}"


def _lines(lines: list[dict[str, Any]], units: Units) -> list[dict[str, str]]:
    return [_line(line, units, before) for before, line in zip([None, *lines], lines, strict=False)]


def _line(line: dict[str, Any], units: Units, before: dict[str, Any] | None) -> dict[str, str]:
    equals = f"= {typeset(line['expression'])} =" if line["expression"] else "="
    return {
        "formula": f"{typeset_symbol(line['symbol'])} {equals}",
        "value": value_text(line, units),
        "said": said_of(line, units, before),
    }
