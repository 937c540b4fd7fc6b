"""Margin of one check: demand against capacity, with location, basis and state."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal

from hoopwright.estimate import Estimate
from hoopwright.fit import Peak

State = Literal["holds", "fails", "unresolved", "not assessed"]


@dataclass(frozen=True)
class Location:
    """The governing location: body, r and z in mm, theta in degrees or None where it is axisymmetric."""

    body: str
    r: float | None = None
    z: float | None = None
    theta: float | None = None

    @classmethod
    def of(cls, peak: Peak) -> Location:
        return cls(peak.body, peak.r, peak.z)


@dataclass(frozen=True)
class Margin:
    """Result of one check.

    id: stable name for machines. demand, capacity: in `unit`, each with its numerical error; None where
    the case lacks the input for it. factor: factor of safety on the demand. basis: how demand and capacity
    were found, and where the allowable comes from. note: a caution for the reader. doubt: why the margin
    may not be relied on, "" where there is no doubt; a margin in doubt never holds. applies: False where
    the case cannot fail in this way at all; such a row is not shown.
    """

    id: str
    title: str
    demand: Estimate | None
    capacity: Estimate | None
    unit: str
    factor: float
    where: Location
    basis: str
    note: str = ""
    doubt: str = ""
    applies: bool = True

    @property
    def margin(self) -> float | None:
        """capacity / (factor · demand) − 1; zero is the limit. None where not assessed, inf where the
        demand is zero."""
        if self.demand is None or self.capacity is None:
            return None
        if self.demand.value <= 0.0:
            return float("inf")
        return self.capacity.value / (self.factor * self.demand.value) - 1.0

    @property
    def numerical_error(self) -> float | None:
        """Numerical error of the margin: root sum of squares of those of demand and capacity, whose signs
        are unknown."""
        margin = self.margin
        if margin is None or self.demand is None or self.capacity is None:
            return None
        if margin == float("inf"):
            return 0.0
        scale = self.factor * self.demand.value
        return hypot(self.capacity.error, (margin + 1.0) * self.factor * self.demand.error) / scale

    @property
    def sign_is_uncertain(self) -> bool:
        """Whether the numerical error could change the sign of the margin; a finer mesh may settle it."""
        margin, error = self.margin, self.numerical_error
        return margin is not None and error is not None and abs(margin) <= error

    @property
    def state(self) -> State:
        """Verdict on this row."""
        if self.margin is None:
            return "not assessed"
        if self.sign_is_uncertain:
            return "unresolved"
        if self.margin < 0.0:
            return "fails"
        return "unresolved" if self.doubt else "holds"


def worst_first(margins: tuple[Margin, ...]) -> tuple[Margin, ...]:
    """Margins sorted from the smallest up, those not assessed last; ties keep their order."""
    return tuple(sorted(margins, key=lambda m: (m.margin is None, m.margin or 0.0)))
