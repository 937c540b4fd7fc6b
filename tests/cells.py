"""Rows by id, cells of a row by stage, and what a bore off centre makes of stress."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from hoopwright.checks import CHECKS, Evidence, judged
from hoopwright.checks.margin import Margin, Stage
from hoopwright.closed_form.eccentric_tube import thin_side_hoop


class Rows(Mapping[str, Margin]):
    """The rows of a case that apply, by id, each judged by itself when it is first asked for: without the
    doubt that a fit past yield casts on the others."""

    def __init__(self, evidence: Evidence) -> None:
        self.evidence = evidence
        self._checks: dict[str, Callable[[Evidence], Margin]] = {one.__name__: one for one in CHECKS}
        self._rows: dict[str, tuple[Margin, ...]] = {}

    def __getitem__(self, row: str) -> Margin:
        if row not in self._rows:
            self._rows[row] = self.judge(self._checks[row])
        if not self._rows[row]:
            raise KeyError(row)
        return self._rows[row][0]

    def judge(self, check: Callable[[Evidence], Margin]) -> tuple[Margin, ...]:
        """The row of a check; none where it does not apply."""
        return judged(self.evidence, (check,))

    def __iter__(self) -> Iterator[str]:
        return (row for row in self._checks if row in self)

    def __len__(self) -> int:
        return len(list(iter(self)))


def cell_of(row: Margin, stage: Stage) -> Margin:
    """The cell of a stage, which the row must have."""
    return next(cell for cell in row.cells if cell.stage == stage)


def stages_of(row: Margin) -> list[Stage]:
    """The stages judged, in order."""
    return [cell.stage for cell in row.cells]


def thin_side_rise(*, bore: float, outside: float, runout: float) -> float:
    """Rise of the hoop stress of a plane tube under pressure when its bore moves off centre by half the
    runout. Diameters, mm."""
    moved, centred = (
        thin_side_hoop(a=0.5 * bore, b=0.5 * outside, eccentricity=e) for e in (0.5 * runout, 0.0)
    )
    return float(moved / centred)
