"""Quantities with a unit that a shop may write, and stretches of the axis."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from strategies.toml_writer import Document

Draw = Callable[[st.SearchStrategy[Any]], Any]

METALS = ("6061-T6", "6061-T6 welded", "7075-T6", "1025 steel", "4130 steel", "E355 steel", "C45 steel")

LENGTH_UNITS = {"mm": 1.0, "in": 25.4, "thou": 0.0254, "um": 1e-3, "cm": 10.0}


def length(draw: Draw, millimetres: float) -> str:
    """A length in one of the units a shop may write."""
    unit = draw(st.sampled_from(tuple(LENGTH_UNITS)))
    return f"{millimetres / LENGTH_UNITS[unit]:.9f} {unit}"


def number(draw: Draw, low: float, high: float, digits: int = 4) -> float:
    return round(draw(st.floats(low, high, allow_nan=False)), digits)


def maybe(draw: Draw) -> bool:
    return bool(draw(st.booleans()))


def torque(draw: Draw, low: float, high: float) -> str:
    unit, size = draw(st.sampled_from((("N*m", 1.0), ("Nm", 1.0), ("ft*lbf", 1.356), ("in-lbf", 0.113))))
    return f"{number(draw, low, high) / size:.4f} {unit}"


def force(draw: Draw, low: float, high: float) -> str:
    unit, size = draw(st.sampled_from((("N", 1.0), ("kN", 1e3), ("lbf", 4.448), ("kgf", 9.807))))
    return f"{number(draw, low, high) / size:.6f} {unit}"


def temperature(draw: Draw, low: float, high: float) -> str:
    celsius = number(draw, low, high, 1)
    return draw(st.sampled_from((f"{celsius} degC", f"{1.8 * celsius + 32.0:.2f} degF")))


def split(draw: Draw, start: float, end: float, max_count: int) -> list[tuple[float, float]]:
    """Split start to end into at most `max_count` stretches, each at least a tenth of the whole."""
    count = draw(st.integers(1, max_count))
    cuts = [start + (end - start) * (k + number(draw, -0.2, 0.2)) / count for k in range(1, count)]
    places = [start, *(round(c, 4) for c in cuts), end]
    return list(zip(places[:-1], places[1:], strict=True))


def stretch(draw: Draw, start: float, end: float) -> Document:
    return {"from": length(draw, start), "to": length(draw, end)}
