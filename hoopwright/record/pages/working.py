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
    "formulae share are listed once at the end."
)
SHARED = "Inputs of all formulae by hand"


def working(d: dict[str, Any], units: Units) -> list[Block]:
    """The chapter; nothing where the document has no working."""
    rows = [r for r in d["checks"] if r.get("working")]
    if not rows:
        return []
    shared = _shared_by_hand(rows)
    blocks = [_row(r, shared, units) for r in rows]
    if shared:
        blocks.append({"title": SHARED, "lines": _lines(shared, units), "hands": []})
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


def _row(row: dict[str, Any], shared: list[dict[str, Any]], units: Units) -> dict[str, Any]:
    part = row["working"]
    return {
        "title": ", ".join((row["title"], row["where"]["stage"], *_origin(row))),
        "lines": _lines(part["lines"], units),
        "hands": [
            {
                "title": hand["title"],
                "lines": _lines([line for line in hand["lines"] if line not in shared], units),
                "beside": _beside(part, hand, units),
            }
            for hand in _hands(part)
        ],
    }


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
