"""What a press gauge shows: its own unit, in whole divisions, a stop line never above what was computed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from hoopwright.case.quantity import converted

FINE = {"bar": 1.0, "psi": 10.0, "MPa": 0.1}
"""Division taken where the case gives none, in the unit of the gauge: no dial is finer. Common practice, no
source."""
NOISE = 1e-9


@dataclass(frozen=True)
class Gauge:
    """unit: bar, psi or MPa. division: the smallest, in that unit. known: whether the case gives it."""

    unit: str
    division: float
    known: bool

    @classmethod
    def of(cls, unit: str, division_MPa: float | None) -> Gauge:
        if division_MPa is None:
            return cls(unit, FINE[unit], known=False)
        return cls(unit, float(f"{converted(division_MPa, 'MPa', unit):.4g}"), known=True)

    @property
    def step(self) -> str:
        """The division with its unit, e.g. "5 bar"."""
        return f"{self.division:g} {self.unit}"

    def text(self, pressure: float) -> str:
        """A pressure in MPa that is a whole number of divisions, without its unit."""
        decimals = max(0, -int(Decimal(f"{self.division:g}").as_tuple().exponent))
        return f"{round(self._divisions(pressure)) * self.division:.{decimals}f}"

    def nearest(self, pressure: float) -> float:
        """The division nearest to a pressure; both in MPa."""
        return self._at(math.floor(self._divisions(pressure) + 0.5))

    def below(self, pressure: float) -> float:
        """The last division not above a pressure; both in MPa."""
        return self._at(self._whole(pressure))

    def too_coarse(self, *, stop: float, likely: float) -> bool:
        """Whether the division below the stop line lies below what is likely: to stop there would be to
        stop at a sound fit. Both in MPa."""
        return self._whole(stop) + NOISE < self._divisions(likely)

    def _whole(self, pressure: float) -> int:
        return math.floor(self._divisions(pressure) + NOISE)

    def _divisions(self, pressure: float) -> float:
        return converted(pressure, "MPa", self.unit) / self.division

    def _at(self, count: int) -> float:
        return converted(count * self.division, self.unit, "MPa")
