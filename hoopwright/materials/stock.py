"""Stock that a part is cut from, and strengths that hold for one kind of stock alone."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

FORMS = ("tube", "bar", "extrusion", "sheet", "casting", "ring")
"""Forms of stock. A bar or an extrusion is turned with its grain along the axis, and so is a tube drawn."""
MM_PER_IN = 25.4
DIRECTIONS = ("along", "across", "any")
"""Directions of a strength to the grain; "any" where they are not told apart."""


@dataclass(frozen=True)
class Stock:
    """What a part is cut from. thickness: of the bar, of the extrusion's thickest wall or of the tube's
    wall, mm; None where not given."""

    form: str
    thickness: float | None = None

    def __str__(self) -> str:
        return self.form if self.thickness is None else f"{self.form} {in_both(self.thickness)}"


@dataclass(frozen=True)
class StockStrength:
    """Yield strength, MPa, of one kind of stock, tensile strength where it is known.

    forms: of FORMS. direction: of DIRECTIONS. above, to: thickness, mm. basis, source: as in Provenance.
    """

    forms: tuple[str, ...]
    direction: str
    above: float
    to: float
    yield_strength: float
    ultimate_strength: float | None
    basis: str
    source: str

    def __post_init__(self) -> None:
        if not self.forms or not set(self.forms) <= set(FORMS) or self.direction not in DIRECTIONS:
            raise ValueError(f"strengths: no such stock: {self.forms}, {self.direction}")
        if not 0.0 <= self.above < self.to or not 0.0 < self.yield_strength < inf:
            raise ValueError("strengths: a thickness or strength out of range")

    @property
    def text(self) -> str:
        """The stock in words."""
        way = "" if self.direction == "any" else f", {self.direction} the grain"
        return f"{' or '.join(self.forms)} {thickness_text(self.above, self.to)}{way}"


def thickness_text(above: float, to: float) -> str:
    """A range of thickness, mm, in words, in units of both trades."""
    if to == inf:
        return f"above {in_both(above)}" if above else "of any thickness"
    if not above:
        return f"to {in_both(to)}"
    return f"above {above:g} to {to:g} mm ({above / MM_PER_IN:.3g} to {to / MM_PER_IN:.3g} in)"


def in_both(size: float) -> str:
    """A size, mm, in units of both trades."""
    return f"{size:.4g} mm ({size / MM_PER_IN:.3g} in)"
