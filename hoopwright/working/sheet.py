"""The working of a margin: numbered lines from the inputs to the margin, as on a hand sheet.

Every line is an input with where it comes from, or an expression in the symbols above it. The expression is
what is evaluated, so that it and its value cannot differ.
"""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple

Origin = Literal["case", "table", "finite elements", "convention"]
"""Where an input comes from: given in the case or measured, a table of the tool, the solution, or a value
of the tool's own or of a published method."""

NEXT_TO_NOTHING = 1e-3
"""A formula by hand that gives less than this of what the finite elements found tells no ratio."""

OPERATORS: Final[Mapping[type[ast.operator], Callable[[float, float], float]]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
FUNCTIONS: Final[Mapping[str, Callable[..., float]]] = {
    "sqrt": math.sqrt,
    "tan": math.tan,
    "cos": math.cos,
    "sin": math.sin,
    "exp": math.exp,
    "log10": math.log10,
    "abs": abs,
    "min": min,
    "max": max,
}
CONSTANTS: Final[Mapping[str, float]] = {"π": math.pi}


@dataclass(frozen=True)
class Line:
    """One line of a working.

    symbol, meaning, value, unit: as shown; angles in rad. expression: in the symbols of lines above, "" for
    an input. origin, source: of an input where it comes from; of an expression the publication it is taken
    from, or "".
    """

    symbol: str
    meaning: str
    value: float
    unit: str
    expression: str = ""
    origin: Origin | None = None
    source: str = ""


class ByHand(NamedTuple):
    """The nearest hand formula: lines ending in one with the symbol `hand`, the symbol of the line it is
    held against, why both differ, and the name of what it computes."""

    lines: tuple[Line, ...]
    beside: str
    reason: str
    title: str = "two Lamé rings"


@dataclass(frozen=True)
class Working:
    """How the margin of one row follows from its inputs.

    lines: the last three have the symbols demand, limit and margin; a row that is not judged lacks those
    it has no input for. by_hand: beside what the finite elements found; None where every step is a closed
    form. loads_by_hand: likewise for what loads and cups do, of each the nearest formula.
    """

    lines: tuple[Line, ...]
    by_hand: ByHand | None = None
    loads_by_hand: tuple[ByHand, ...] = ()

    def over(self, hand: ByHand) -> float | None:
        """What the finite elements found over a formula by hand; None where that is next to nothing."""
        by_hand, found = hand.lines[-1].value, self.value(hand.beside)
        return found / by_hand if abs(by_hand) > NEXT_TO_NOTHING * abs(found) else None

    def has(self, symbol: str) -> bool:
        """Whether there is a line with a symbol: a row that is not judged ends before its margin."""
        return any(line.symbol == symbol for line in self.lines)

    def value(self, symbol: str) -> float:
        """The value of the line with a symbol."""
        return next(line.value for line in self.lines if line.symbol == symbol)


@dataclass
class Sheet:
    """A working while it is written, line by line."""

    lines: list[Line] = field(default_factory=list)
    _values: dict[str, float] = field(default_factory=dict)

    def given(
        self, symbol: str, value: float, unit: str, meaning: str, origin: Origin, source: str
    ) -> None:
        """An input. source: key of the case, table and label, or place in the solution."""
        self._add(Line(symbol, meaning, float(value), unit, origin=origin, source=source))

    def case(self, symbol: str, value: float, unit: str, meaning: str, key: str) -> None:
        """An input that the case gives, or that was measured; key: where in the file."""
        self.given(symbol, value, unit, meaning, "case", key)

    def table(self, symbol: str, value: float, unit: str, meaning: str, source: str) -> None:
        """An input of a table of the tool."""
        self.given(symbol, value, unit, meaning, "table", source)

    def solved(self, symbol: str, value: float, unit: str, meaning: str, where: str) -> None:
        """An input that the finite elements give; where: place and state."""
        self.given(symbol, value, unit, meaning, "finite elements", where)

    def agreed(self, symbol: str, value: float, unit: str, meaning: str, source: str) -> None:
        """A value of the tool's own, or of a published method."""
        self.given(symbol, value, unit, meaning, "convention", source)

    def step(self, symbol: str, expression: str, unit: str, meaning: str, source: str = "") -> None:
        """A value by an expression in the symbols above it; without end where it divides by nothing."""
        try:
            value = evaluate(expression, self._values)
        except ZeroDivisionError:
            value = math.inf
        self._add(Line(symbol, meaning, value, unit, expression, source=source))

    def __contains__(self, symbol: str) -> bool:
        return symbol in self._values

    def value(self, symbol: str) -> float:
        """The value of a line written already."""
        return self._values[symbol]

    def _add(self, line: Line) -> None:
        if line.symbol in self._values:
            raise ValueError(f"{line.symbol} stands for two things")
        self._values[line.symbol] = line.value
        self.lines.append(line)


def evaluate(expression: str, values: Mapping[str, float]) -> float:
    """The value of an expression: + − × ÷ and powers (`**`), the functions of FUNCTIONS, π, and the symbols
    given.

    Raises ValueError for anything else, and for a symbol that has no value.
    """
    return _value_of(ast.parse(expression, mode="eval").body, values)


def symbols_of(expression: str) -> set[str]:
    """The symbols in an expression, without functions and constants."""
    names = {node.id for node in ast.walk(ast.parse(expression, mode="eval")) if isinstance(node, ast.Name)}
    return names - set(FUNCTIONS) - set(CONSTANTS)


def _value_of(node: ast.expr, values: Mapping[str, float]) -> float:
    match node:
        case ast.Constant(value=int() | float() as number):
            return float(number)
        case ast.Name(id=name) if name in values or name in CONSTANTS:
            return values.get(name, CONSTANTS.get(name, math.nan))
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_value_of(operand, values)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in OPERATORS:
            return OPERATORS[type(op)](_value_of(left, values), _value_of(right, values))
        case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]) if name in FUNCTIONS:
            return float(FUNCTIONS[name](*(_value_of(one, values) for one in arguments)))
    raise ValueError(f"not an expression in the symbols above it: {ast.unparse(node)}")
