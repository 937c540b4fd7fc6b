"""Working of every row: the lines from the inputs to the margin, set as formulae."""

from __future__ import annotations

import ast
from typing import Any

from hoopwright.display import Units
from hoopwright.display.working import said_of, value_text
from hoopwright.record.pages.blocks import Block, heading, text

ATOM, POWER, PRODUCT, SUM = 4, 3, 2, 1
"""How closely the parts of an expression hold together, for brackets."""
INTRODUCTION = (
    "How each margin follows from the inputs, worked in mm, N and MPa. Each line is an input with where it "
    "comes from, or an expression in the symbols above it; demand, limit and margin stand last. Below "
    "them stands the nearest formula by hand, beside what the finite elements found; inputs that all these "
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
        lines = [_line(line, units) for line in shared]
        blocks.append({"title": SHARED, "lines": lines, "hand": [], "beside": ""})
    return [heading("Working"), text(INTRODUCTION, small=True), {"kind": "workings", "rows": blocks}]


def _shared_by_hand(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The inputs that stand alike in every formula by hand that has them."""
    found: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        for line in (row["working"]["by_hand"] or {"lines": []})["lines"]:
            if line["expression"] is None:
                found.setdefault(line["symbol"], []).append(line)
    return [lines[0] for lines in found.values() if len(lines) > 1 and all(x == lines[0] for x in lines)]


def _row(row: dict[str, Any], shared: list[dict[str, Any]], units: Units) -> dict[str, Any]:
    part = row["working"]
    hand = part["by_hand"]
    own = [line for line in hand["lines"] if line not in shared] if hand else []
    return {
        "title": f"{row['title']}, {row['where']['stage']}",
        "lines": [_line(line, units) for line in part["lines"]],
        "hand": [_line(line, units) for line in own],
        "beside": _beside(part, units) if hand else "",
    }


def _beside(part: dict[str, Any], units: Units) -> str:
    hand = part["by_hand"]
    found = next(line for line in part["lines"] if line["symbol"] == hand["beside"])
    ratio = "" if hand["ratio"] is None else f", {hand['ratio']:.3f} times that"
    return f"finite elements: {value_text(found, units)}{ratio}; {hand['reason']}"


def _line(line: dict[str, Any], units: Units) -> dict[str, str]:
    equals = f"= {as_formula(line['expression'])} =" if line["expression"] else "="
    return {
        "formula": f"{_symbol(line['symbol'])} {equals}",
        "value": value_text(line, units),
        "said": said_of(line),
    }


def as_formula(expression: str) -> str:
    """An expression of a working in the typesetter's notation for mathematics."""
    return _formula(ast.parse(expression, mode="eval").body)[0]


def _formula(node: ast.expr) -> tuple[str, int]:
    """The formula of a part, and how closely it holds together."""
    match node:
        case ast.Constant(value=number):
            return f"{number:g}" if isinstance(number, int | float) else str(number), ATOM
        case ast.Name(id=name):
            return _symbol(name), ATOM
        case ast.UnaryOp(operand=operand):
            return f"-{_bracketed(operand, PRODUCT)}", SUM
        case ast.Call(func=ast.Name(id=name), args=arguments):
            listed = ", ".join(_formula(one)[0] for one in arguments)
            return f"{'log_10' if name == 'log10' else name}({listed})", ATOM
        case ast.BinOp(left=left, op=ast.Div(), right=right):
            return f"frac({_formula(left)[0]}, {_formula(right)[0]})", PRODUCT
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return f"{_bracketed(left, ATOM)}^({_formula(right)[0]})", POWER
        case ast.BinOp(left=left, op=ast.Mult(), right=right):
            return f"{_bracketed(left, PRODUCT)} dot.op {_bracketed(right, POWER)}", PRODUCT
        case ast.BinOp(left=left, op=ast.Add() | ast.Sub() as op, right=right):
            sign, least = ("+", SUM) if isinstance(op, ast.Add) else ("-", PRODUCT)
            return f"{_bracketed(left, SUM)} {sign} {_bracketed(right, least)}", SUM
    raise ValueError(f"no formula for {ast.unparse(node)}")


def _bracketed(node: ast.expr, least: int) -> str:
    formula, closeness = _formula(node)
    return formula if closeness >= least else f"({formula})"


def _symbol(name: str) -> str:
    """A symbol with its index: d_now has the index now."""
    base, _, index = name.partition("_")
    shown = base if len(base) == 1 else f'"{base}"'
    return f'{shown}_"{index}"' if index else shown
