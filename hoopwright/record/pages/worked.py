"""A repair worked by the tool while the manual is made: its table of margins, and rows line by line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.display.rows import governing_text, margin_cell
from hoopwright.display.written import as_written
from hoopwright.document.check import document
from hoopwright.pipeline import check_case
from hoopwright.record.formula import typeset, typeset_symbol
from hoopwright.record.pages.blocks import Block, as_sentence, heading, table, text
from hoopwright.starters import PIECES, starter_text

PIECE = "plain"
"""The starter that is worked: one seat and no loads on one side, so that all of it can be followed by
hand."""
BY_HAND_FIRST = "press_force"
"""The row whose formula by hand shows the two rings in full."""
FOLLOWED = ("press_force", "slips_combined", "shell_yields", "wall_left")
"""Rows that are followed: one of pressing, of holding, of stress and of sizes."""
LONG = 60
"""Characters from which on an expression takes the whole width."""
INTRODUCTION = (
    "Made-up sizes, from the starter case that hoopwright new mine.toml --piece {piece} writes: {words}. "
    "What follows was computed as this manual was made, and hoopwright check mine.toml gives the same. "
    "Worked in mm, N and MPa; every line is an input, with where it comes from, or an expression in the "
    "lines above it."
)


def worked_repair() -> Iterable[Block]:
    """The pages of one repair."""
    d = document(check_case(parse_case(starter_text(PIECE), file=f"{PIECE}.toml")))
    rows, units = {row["id"]: row for row in d["checks"]}, Units()
    yield {"kind": "new_page"}
    yield {"kind": "chapter", "text": "One repair, worked"}
    yield text(INTRODUCTION.format(piece=PIECE, words=PIECES[PIECE]))
    yield heading(as_sentence(d["verdict"]))
    yield table(
        ["way to fail", "margin", "what governs"],
        [[r["title"], margin_cell(r), governing_text(r, units)] for r in d["checks"] if r["cells"]],
        left=3,
        wide=(2,),
    )
    yield heading("The two rings by hand, at the greatest interference")
    yield _lines(rows[BY_HAND_FIRST]["working"]["by_hand"]["lines"])
    for id_ in FOLLOWED:
        row = rows[id_]
        yield heading(f"{as_sentence(row['title']).rstrip('.')}, {row['where']['stage']}")
        yield _lines(row["working"]["lines"])
        if row["working"]["by_hand"]:
            yield text(_compared(row["working"]))


def _lines(lines: Iterable[dict[str, Any]]) -> Block:
    return {
        "kind": "working",
        "rows": [
            {
                "symbol": typeset_symbol(line["symbol"]),
                "expression": typeset(line["expression"]) if line["expression"] else "",
                "long": len(line["expression"] or "") > LONG,
                "value": _value(line),
                "said": _said(line),
            }
            for line in lines
        ],
    }


def _value(line: dict[str, Any]) -> str:
    value = float(line["value"]) or 0.0  # no minus before a zero
    number = f"{value:.0f}" if 1e5 <= abs(value) < 1e9 else f"{value:.5g}"
    return f"{number} {as_written(line['unit'])}".strip()


def _said(line: dict[str, Any]) -> str:
    parts = (line["origin"] or "", line["source"])
    known = ": ".join(part for part in parts if part)
    return f"{line['meaning']} [{known}]" if known else str(line["meaning"])


def _compared(working: dict[str, Any]) -> str:
    """The formula by hand beside what the finite elements found."""
    hand = working["by_hand"]
    found = next(line for line in working["lines"] if line["symbol"] == hand["beside"])
    by_hand = hand["lines"][-1]
    return (
        f"By hand {_value(by_hand)} ({by_hand['meaning']}), by finite elements {_value(found)}, "
        f"{found['value'] / by_hand['value']:.3f} of it: {as_sentence(hand['reason'])}"
    )
