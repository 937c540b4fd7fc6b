"""A number from the finite elements together with how wrong the mesh may make it."""

from __future__ import annotations

from dataclasses import dataclass

# |fine − coarse| times this covers the error of the fine mesh when element length differs by 1.5
# and the error falls at least as h^0.85: 1/(1.5^0.85 − 1) = 2.4. Fits that end inside a longer body
# converge that slowly; smooth ones far faster, and then this is generous.
SAFETY = 2.5
# Never claim to be better than this share of the value: solver tolerance and rounding.
FLOOR = 1e-6


@dataclass(frozen=True)
class Estimate:
    """value and numerical error, both in the same unit; error >= 0, meant as value ± error."""

    value: float
    error: float = 0.0

    def __mul__(self, factor: float) -> Estimate:
        return Estimate(self.value * factor, self.error * abs(factor))

    __rmul__ = __mul__


def from_two(fine: float, coarse: float, *, safety: float = SAFETY) -> Estimate:
    """The fine value, with an error judged from the coarse one."""
    return Estimate(float(fine), float(safety * abs(fine - coarse) + FLOOR * abs(fine)))
