"""Mutants of a file: one small fault each, such as a programmer makes.

A comparison with another operator, a sum for a difference, a product for a quotient, the least for the
greatest, all for any, and for or, a number doubled, a sign or a `not` left out, one end of a range for the
other. What only text and type checkers see is left as it is: f-strings, annotations, messages.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass

COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
}
CALLS = {
    "min": "max",
    "minimum": "maximum",
    "argmin": "argmax",
    "all": "any",
}
"""Functions and methods that are called, and what is called instead, in both directions."""
ENDS = (("low", "high"), ("least", "greatest"), ("min", "max"), ("start", "end"), ("lower", "upper"))
"""Last words of names that stand for the two ends of a range."""


@dataclass(frozen=True)
class Mutant:
    """One fault in one file. line, last_line: of what it replaces; code: the first of these; was, now: what
    is replaced and by what; source: the file with the fault in it."""

    path: str
    line: int
    last_line: int
    code: str
    was: str
    now: str
    source: str


def mutants_of(path: str, source: str) -> list[Mutant]:
    """Every mutant of a file, in the order of its lines."""
    tree = ast.parse(source)
    both_ways = {name for name in _names(tree) if _other_end(name) in _names(tree)}
    found = [
        _mutant(path, source, node, changed)
        for node in _code(tree)
        for changed in _changes(node, both_ways)
    ]
    different = {(one.line, one.source): one for one in found}
    return sorted(different.values(), key=lambda one: (one.line, one.was, one.now))


def _code(node: ast.AST) -> Iterator[ast.expr]:
    """Yield the expressions that are worth a fault."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "format_spec"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.JoinedStr | ast.Raise | ast.Assert) or not isinstance(child, ast.AST):
                continue
            if isinstance(child, ast.expr):
                yield child
            yield from _code(child)


def _changes(node: ast.expr, both_ways: set[str]) -> Iterator[ast.expr]:
    if isinstance(node, ast.Compare):
        for k, operator in enumerate(node.ops):
            for other in COMPARISONS[type(operator)]:
                yield _with(node, lambda new, k=k, other=other: new.ops.__setitem__(k, other()))
    elif isinstance(node, ast.BinOp) and type(node.op) in OPERATORS and not _is_text(node):
        yield _with(node, lambda new: setattr(new, "op", OPERATORS[type(node.op)]()))
    elif isinstance(node, ast.BoolOp):
        other = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield _with(node, lambda new: setattr(new, "op", other()))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield deepcopy(node.operand)
    elif isinstance(node, ast.Constant):
        yield from _other_number(node)
    elif isinstance(node, ast.Call):
        yield from _other_call(node)
    elif isinstance(node, ast.Name | ast.Attribute) and isinstance(node.ctx, ast.Load):
        name = node.id if isinstance(node, ast.Name) else node.attr
        if name in both_ways:
            field = "id" if isinstance(node, ast.Name) else "attr"
            yield _with(node, lambda new: setattr(new, field, _other_end(name)))


def _with(node: ast.expr, change: Callable[[ast.expr], object]) -> ast.expr:
    new = deepcopy(node)
    change(new)
    return new


def _is_text(node: ast.BinOp) -> bool:
    """Whether texts are joined, or a text is formatted."""
    sides = (node.left, node.right)
    return any(
        isinstance(side, ast.JoinedStr)
        or (isinstance(side, ast.Constant) and isinstance(side.value, str))
        or (isinstance(side, ast.BinOp) and _is_text(side))
        for side in sides
    )


def _other_number(node: ast.Constant) -> Iterator[ast.expr]:
    """A truth value turned round, a whole number one higher, any other number doubled; 1 for 0."""
    value = node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int):
        yield ast.Constant(value + 1)
    elif isinstance(value, float):
        yield ast.Constant(2.0 * value or 1.0)


def _other_call(node: ast.Call) -> Iterator[ast.expr]:
    called = node.func
    name = called.id if isinstance(called, ast.Name) else getattr(called, "attr", "")
    pairs = CALLS | {other: one for one, other in CALLS.items()}
    if name in pairs:
        field = "id" if isinstance(called, ast.Name) else "attr"
        yield _with(node, lambda new: setattr(new.func, field, pairs[name]))


def _names(tree: ast.AST) -> set[str]:
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    return names | {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}


def _other_end(name: str) -> str:
    """The name with the other end of the range for its last word; "" where it has none."""
    first, joint, last = name.rpartition("_")
    for pair in ENDS:
        if last in pair:
            return first + joint + pair[1 - pair.index(last)]
    return ""


def _mutant(path: str, source: str, node: ast.expr, changed: ast.expr) -> Mutant:
    """The file with one expression replaced. Columns are counted in bytes."""
    lines = source.encode().splitlines(keepends=True)
    start = sum(map(len, lines[: node.lineno - 1])) + node.col_offset
    last = node.end_lineno or node.lineno
    end = sum(map(len, lines[: last - 1])) + (node.end_col_offset or 0)
    data, now = source.encode(), ast.unparse(ast.fix_missing_locations(changed))
    was = " ".join(data[start:end].decode().split())
    inserted = now if isinstance(node, ast.Attribute | ast.Name) else f"({now})"
    mutated = (data[:start] + inserted.encode() + data[end:]).decode()
    code = lines[node.lineno - 1].decode().strip()
    return Mutant(path, node.lineno, last, code, was, now, mutated)
