"""The strength of the stock a part is cut from: its form, its thickness, and which way its grain runs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import Literal

from hoopwright.materials import Material
from hoopwright.materials.stock import Stock, StockStrength, in_both

Direction = Literal["hoop", "axial", "any"]
"""Of a stress in a part; "any" where stresses of all directions act together."""
GRAIN = {"hoop": ("across",), "axial": ("along",), "any": ("across", "along")}
"""Directions to the grain by that of a stress: the grain of tube, bar and extrusion runs along the axis."""


@dataclass(frozen=True)
class OfStock:
    """Yield strength, MPa, with what it is of in words, its basis and source, and a doubt, "" for none.

    tensile: strength of the same stock, MPa, None where none is given of it.
    """

    value: float
    words: str
    basis: str
    source: str
    tensile: float | None = None
    doubt: str = ""


def of_stock(material: Material, stock: Stock | None, direction: Direction, wall: float) -> OfStock:
    """The strength in a direction. stock: as stated, None where it is not. wall: the greatest of the part,
    mm: its stock is at least as thick.

    Stock that is not stated is that of the row, and may lower its strength but not raise it.
    """
    own, form = _own(material), stock.form if stock else material.form
    thinnest, thickest = _thickness(stock, wall)
    ways = (*GRAIN[direction], "any")
    of_form = [one for one in material.strengths if form in one.forms and one.direction in ways]
    fitting = [_of(one) for one in of_form if one.above < thickest and thinnest <= one.to]
    if stock is None or (form == material.form and _covers(material, thinnest, thickest, direction)):
        fitting.append(own)
    if form != material.form and not of_form:
        return _not_given(material, own, stock)
    weakest = min(fitting or [own, *map(_of, of_form)], key=lambda one: one.value)
    ends = [one.to for one in of_form]
    if form == material.form:
        ends.append(material.thickness[1] if material.thickness else inf)
    return weakest if thinnest <= max(ends) else _too_thick(material, weakest, thinnest)


def _thickness(stock: Stock | None, wall: float) -> tuple[float, float]:
    """Between what the thickness of the stock lies, mm: anything from the wall up where it is not given
    of a solid form."""
    if stock is None or (stock.thickness is None and stock.form == "tube"):
        return wall, wall
    if stock.thickness is None:
        return wall, inf
    thickness = max(stock.thickness, wall)
    return thickness, thickness


def _covers(material: Material, thinnest: float, thickest: float, direction: Direction) -> bool:
    """Whether the row's own strength is of such stock."""
    above, to = material.thickness or (0.0, inf)
    grain = material.direction in ("", "any", *GRAIN[direction])
    other = any(one.direction in GRAIN[direction] for one in material.strengths)
    return (grain or not other) and (above < thickest or above == 0.0) and thinnest <= to


def _own(material: Material) -> OfStock:
    line = material.source_of("yield_strength")
    words, way = "", material.direction
    if way in ("along", "across"):
        other = "across" if way == "along" else "along"
        given = any(one.direction in (other, "any") for one in material.strengths)
        words = f"{way} the grain of {material.form}" + ("" if given else f", none given {other} it")
    basis, source = (line.basis, line.source) if line else ("", "")
    return OfStock(material.yield_strength, words, basis, source, material.ultimate_strength)


def _of(one: StockStrength) -> OfStock:
    return OfStock(one.yield_strength, one.text, one.basis, one.source, one.ultimate_strength)


def _not_given(material: Material, own: OfStock, stock: Stock | None) -> OfStock:
    """The row's own strength where there is none of a form, which is said. Of a casting, which is weaker
    than wrought metal, it is in doubt, but where the case itself gives the metal."""
    words = ", ".join(part for part in (own.words, f"none given of {stock}") if part)
    doubt = ""
    if stock and stock.form == "casting" and material.form:
        doubt = (
            f"{material.name} is {material.form} in the table, its strength as a casting not given; name "
            "the metal of the casting, or give its strength in a table [material.NAME]"
        )
    return replace(own, words=words, doubt=doubt)


def _too_thick(material: Material, found: OfStock, thinnest: float) -> OfStock:
    doubt = (
        f"{material.name} of {in_both(thinnest)} is thicker than any its strength is given for "
        f"({material.condition})"
    )
    return replace(found, doubt=doubt)
