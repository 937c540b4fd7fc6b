"""One line of the margin table: the shape that every check returns."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal

from hoopwright.estimate import Estimate
from hoopwright.fit import Peak

State = Literal["holds", "fails", "unresolved", "not assessed"]


@dataclass(frozen=True)
class Where:
    """The governing place: body, r and z in mm; theta in degrees, None where it is the same all round."""

    body: str
    r: float | None = None
    z: float | None = None
    theta: float | None = None

    @classmethod
    def of(cls, peak: Peak) -> Where:
        return cls(peak.body, peak.r, peak.z)


@dataclass(frozen=True)
class Margin:
    """A way to fail, held against what is there.

    id: stable name for machines. demand, capacity: in `unit`, each with its numerical error; None
    where the case does not give what it takes. factor: of safety, on the demand. basis: how demand
    and capacity were found, and where the allowable comes from. note: a caution for the reader.
    doubt: a reason why the margin may not be relied on, "" where there is none: then it never holds.
    applies: False where this way to fail does not exist in the case at all; such a line is not shown.
    """

    id: str
    title: str
    demand: Estimate | None
    capacity: Estimate | None
    unit: str
    factor: float
    where: Where
    basis: str
    note: str = ""
    doubt: str = ""
    applies: bool = True

    @property
    def margin(self) -> float | None:
        """capacity / (factor · demand) − 1: zero is the limit. None where not assessed.

        Without any demand the margin has no end: inf.
        """
        if self.demand is None or self.capacity is None:
            return None
        if self.demand.value <= 0.0:
            return float("inf")
        return self.capacity.value / (self.factor * self.demand.value) - 1.0

    @property
    def numerical_error(self) -> float | None:
        """Half-width of the margin that the mesh may account for: errors of demand and capacity, of which
        nobody knows the signs, as root of the sum of squares."""
        margin = self.margin
        if margin is None or self.demand is None or self.capacity is None:
            return None
        if margin == float("inf"):
            return 0.0
        scale = self.factor * self.demand.value
        return hypot(self.capacity.error, (margin + 1.0) * self.factor * self.demand.error) / scale

    @property
    def sign_is_open(self) -> bool:
        """Whether the numerical error could flip the margin: a finer mesh may settle it."""
        margin, error = self.margin, self.numerical_error
        return margin is not None and error is not None and abs(margin) <= error

    @property
    def state(self) -> State:
        if self.margin is None:
            return "not assessed"
        if self.sign_is_open:
            return "unresolved"
        if self.margin < 0.0:
            return "fails"
        return "unresolved" if self.doubt else "holds"


def worst_first(margins: tuple[Margin, ...]) -> tuple[Margin, ...]:
    """Assessed margins from the smallest up, then those not assessed, each in their given order."""
    return tuple(sorted(margins, key=lambda m: (m.margin is None, m.margin or 0.0)))
