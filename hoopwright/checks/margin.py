"""Rows and their cells: a way to fail, judged in every stage of the joint's life the case describes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf, isnan
from typing import Literal

from hoopwright.estimate import Estimate
from hoopwright.fem.errors import SolveError
from hoopwright.fit import Peak
from hoopwright.state import State

RowState = Literal["holds", "fails", "unresolved", "not assessed"]
Stage = Literal["entering", "pressed", "cups", "in use", "oven"]
STAGES: tuple[Stage, ...] = ("entering", "pressed", "cups", "in use", "oven")
"""The parts of a joint's life, in order; "cups" is from tightening to undoing them."""
NO_GRIP = -1.0
"""The margin where nothing is left of the capacity, and the least there is."""


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
class When:
    """The moment at which a cell governs.

    temperature_rise: K above 20 °C, None where it does not matter. friction: how it acts, "" where it does
    not matter. preload: pull of the cups, N. load_case: its name; joint: how the joint is taken to be under
    it, "sliding" or "stuck". travel: of the sleeve on its way in, mm. blank: the sleeve is not finished
    yet.
    """

    temperature_rise: float | None = None
    friction: str = ""
    preload: float = 0.0
    load_case: str = ""
    joint: str = ""
    travel: float | None = None
    blank: bool = False

    @classmethod
    def of(cls, state: State, *, load_case: str = "", joint: str = "", travel: float | None = None) -> When:
        rise, friction = state.temperature_rise, state.friction_text
        return cls(rise, friction, state.tension, load_case, joint, travel, state.blank)


@dataclass(frozen=True)
class Margin:
    """One cell of the table rows × stages, or a row of it: its worst cell, with all of them in `cells`.

    id: stable name of the row for machines. demand, capacity: in `unit`, each with its numerical error;
    None where the case lacks the input for it. factor: factor of safety on the demand. basis: how demand
    and capacity were found, and where the allowable comes from. note: a caution for the reader. doubt: why
    the margin may not be relied on, "" where there is no doubt; a margin in doubt never holds. applies:
    False where the case cannot fail in this way at all; such a row is not shown. Raises SolveError where
    demand or capacity is not a number.
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
    stage: Stage = "pressed"
    when: When = When()
    cells: tuple[Margin, ...] = ()

    def __post_init__(self) -> None:
        for side in (self.demand, self.capacity):
            if side is not None and (isnan(side.value) or isnan(side.error)):
                raise SolveError(f"{self.title}, {self.stage}: the solution is not a number")

    @property
    def margin(self) -> float | None:
        """capacity / (factor · demand) − 1; zero is the limit, −1 where there is no capacity left. None
        where not assessed, inf where nothing is demanded of what is there."""
        if self.demand is None or self.capacity is None:
            return None
        if self.capacity.value <= 0.0:
            return NO_GRIP
        if self.demand.value <= 0.0:
            return inf
        return self.capacity.value / (self.factor * self.demand.value) - 1.0

    @property
    def excess(self) -> Estimate | None:
        """capacity − factor · demand, whose sign decides, with its numerical error: the root sum of squares
        of those of both, whose signs are unknown."""
        if self.demand is None or self.capacity is None:
            return None
        demanded = self.factor * self.demand
        error = hypot(self.capacity.error, demanded.error)
        if demanded.value in (inf, -inf):
            return Estimate(-demanded.value)
        return Estimate(self.capacity.value - max(demanded.value, 0.0), error)

    @property
    def numerical_error(self) -> float | None:
        """Numerical error of the margin; None where not assessed."""
        if self.margin is None or self.demand is None or self.capacity is None:
            return None
        if self.demand.value <= 0.0 or self.demand.value == inf:
            return 0.0
        scale = self.factor * self.demand.value
        ratio = max(self.capacity.value, 0.0) / scale
        return hypot(self.capacity.error, ratio * self.factor * self.demand.error) / scale

    @property
    def sign_is_uncertain(self) -> bool:
        """Whether the numerical error could change the verdict; a finer mesh may settle it."""
        excess = self.excess
        return excess is not None and 0.0 < excess.error >= abs(excess.value)

    @property
    def state(self) -> RowState:
        """Verdict on this row or cell."""
        excess = self.excess
        if excess is None:
            return "not assessed"
        if self.sign_is_uncertain:
            return "unresolved"
        nothing_there = self.capacity is not None and self.capacity.value <= 0.0
        if excess.value < 0.0 or nothing_there:
            return "fails"
        return "unresolved" if self.doubt else "holds"


def not_in_the_case(name: str, title: str, unit: str, stage: Stage, why: str) -> Margin:
    """The row of a way to fail in which the case cannot fail at all."""
    return Margin(
        name, title, None, None, unit, 1.0, Location("interface"), why, applies=False, stage=stage
    )


def worst_of(cells: Sequence[Margin]) -> Margin:
    """The one of several cells that decides, with a doubt about any of them: what fails, else the least
    margin that the numerical error allows."""
    worst = min(cells, key=_severity)
    doubts = (f"{cell.stage}: {cell.doubt}" for cell in cells if cell.doubt)
    return replace(worst, doubt=worst.doubt or next(doubts, ""))


def row_of(cells: Iterable[Margin]) -> Margin:
    """The row of one or more cells, one a stage: the worst of them, with all that are judged."""
    found = tuple(cells)
    judged = tuple(cell for cell in found if cell.margin is not None)
    return replace(worst_of(judged or found), cells=judged)


def doubted(row: Margin, doubt: str) -> Margin:
    """The row with all its cells in doubt, where they were not yet."""
    cells = tuple(replace(cell, doubt=cell.doubt or doubt) for cell in row.cells)
    return replace(row, doubt=row.doubt or doubt, cells=cells)


def may_govern(cells: Sequence[Margin]) -> tuple[bool, ...]:
    """For each of the cells of a row whether it may be the worst, by its numerical error or a doubt, or its
    own verdict may be another: only such a cell is worth solving on finer meshes."""
    bounds = [(cell.margin or 0.0, cell.numerical_error or 0.0) for cell in cells]
    worst = min((margin + error for margin, error in bounds), default=inf)
    return tuple(
        margin - error <= worst or cell.sign_is_uncertain or bool(cell.doubt)
        for cell, (margin, error) in zip(cells, bounds, strict=True)
    )


def _severity(cell: Margin) -> tuple[bool, float]:
    margin = cell.margin
    if margin is None:
        return True, inf
    return cell.state != "fails", margin - (cell.numerical_error or 0.0)


def worst_first(margins: tuple[Margin, ...]) -> tuple[Margin, ...]:
    """Margins sorted from the smallest up, those not assessed last; ties keep their order."""
    return tuple(sorted(margins, key=lambda m: (m.margin is None, m.margin or 0.0)))
