"""Expressions of a working as mathematics that the typesetter reads.

Only the tool's own expressions come here: what a user typed is never read as markup.
"""

from __future__ import annotations

import ast

UPRIGHT = {"tan_λ": "tan λ"}
"""Symbols that are themselves a function of another."""
CONTEXT_SUM, CONTEXT_PRODUCT, CONTEXT_POWER = 1, 2, 3
"""How tightly what stands round an expression binds."""


def typeset_symbol(symbol: str) -> str:
    """A symbol with its index below it; words stand upright."""
    if symbol in UPRIGHT:
        return UPRIGHT[symbol]
    name, _, index = symbol.partition("_")
    base = name if len(name) == 1 else f'upright("{name}")' if name.isascii() else f'italic("{name}")'
    return base if not index else f'{base}_upright("{index.replace("_", ",")}")'


def typeset(expression: str) -> str:
    """An expression in the grammar of the working."""
    return _set(ast.parse(expression, mode="eval").body, 0)


def _set(node: ast.expr, context: int) -> str:
    match node:
        case ast.Constant(value=number):
            return str(number)
        case ast.Name(id=name):
            return typeset_symbol(name)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return _bracketed(f"- {_set(operand, CONTEXT_PRODUCT)}", context > CONTEXT_SUM)
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return _call(name, [_set(one, 0) for one in arguments])
        case ast.BinOp(left=left, op=op, right=right):
            return _operation(left, op, right, context)
    raise ValueError(f"not in the grammar of the working: {ast.unparse(node)}")


def _operation(left: ast.expr, op: ast.operator, right: ast.expr, context: int) -> str:
    match op:
        case ast.Add():
            text = f"{_set(left, 0)} + {_set(right, CONTEXT_SUM)}"
            return _bracketed(text, context > CONTEXT_SUM)
        case ast.Sub():
            text = f"{_set(left, 0)} - {_set(right, CONTEXT_PRODUCT)}"
            return _bracketed(text, context > CONTEXT_SUM)
        case ast.Mult():
            outer = 0 if isinstance(left, ast.UnaryOp) else CONTEXT_PRODUCT
            text = f"{_set(left, outer)} dot.op {_set(right, CONTEXT_PRODUCT)}"
            return _bracketed(text, context > CONTEXT_PRODUCT)
        case ast.Div():
            return _bracketed(f"frac({_set(left, 0)}, {_set(right, 0)})", context > CONTEXT_PRODUCT)
        case ast.Pow():
            return f"{_set(left, CONTEXT_POWER)}^({_exponent(right)})"
    raise ValueError("not in the grammar of the working")


def _exponent(node: ast.expr) -> str:
    """An exponent on one line: fractions in it would be too small to read."""
    match node:
        case ast.BinOp(left=left, op=ast.Div(), right=right):
            over, under = _set(left, CONTEXT_PRODUCT), _set(right, CONTEXT_POWER)
            return f"{over} slash {under}"
    return _set(node, 0)


def _call(name: str, arguments: list[str]) -> str:
    listed = ", ".join(arguments)
    set_as = {"sqrt": f"sqrt({listed})", "exp": f"e^({listed})", "log10": f"log_10 ({listed})"}
    return set_as.get(name, f"{name}({listed})")


def _bracketed(text: str, needed: bool) -> str:
    return f"({text})" if needed else text
