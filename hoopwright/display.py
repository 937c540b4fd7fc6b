"""Numbers as a person reads them: in the units of their micrometer and gauge, always with the unit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hoopwright.case.quantity import converted

# What each unit of the machine output is shown as, and with how many decimals.
METRIC = {"mm": ("mm", 3), "um": ("µm", 1), "MPa": ("MPa", 1), "N": ("N", 0), "N*m": ("N·m", 1),
          "degC": ("°C", 1)}
INCH = {"mm": ("in", 4), "um": ("thou", 2), "MPa": ("ksi", 2), "N": ("lbf", 0), "N*m": ("ft·lbf", 1),
        "degC": ("°F", 1)}
PINT_NAME = {"µm": "um", "N·m": "N*m", "ft·lbf": "ft*lbf", "°C": "degC", "°F": "degF"}


@dataclass(frozen=True)
class Units:
    """A system of display: "metric" or "inch"."""

    system: str = "metric"

    def label(self, unit: str) -> str:
        """The unit a person sees for one of the machine units; unknown ones stay as they are."""
        return self._shown.get(unit, (unit, 3))[0]

    def number(self, value: float, unit: str, *, decimals: int | None = None) -> str:
        """The number alone, converted, with the decimals usual for its unit."""
        label, usual = self._shown.get(unit, (unit, 3))
        shown = _factor(unit, PINT_NAME.get(label, label)) * value if label != "°F" else converted(
            value, unit, "degF")
        return f"{shown:.{usual if decimals is None else decimals}f}"

    def text(self, value: float, unit: str, *, decimals: int | None = None) -> str:
        """Number and unit, e.g. "35.0 µm"."""
        return f"{self.number(value, unit, decimals=decimals)} {self.label(unit)}"

    def given(self, value: float, unit: str) -> str:
        """A quantity as somebody gave it: no more digits than it has, four where converted."""
        if self.system == "metric":
            return f"{value:g} {self.label(unit)}"
        return f"{float(f'{float(self.number(value, unit, decimals=9)):.4g}'):g} {self.label(unit)}"

    def both(self, value: float, unit: str) -> str:
        """In this system, with the other in brackets."""
        other = Units("inch" if self.system == "metric" else "metric")
        return f"{self.text(value, unit)} ({other.text(value, unit)})"

    @property
    def _shown(self) -> dict[str, tuple[str, int]]:
        return INCH if self.system == "inch" else METRIC


@cache
def _factor(unit: str, shown: str) -> float:
    return 1.0 if unit == shown else converted(1.0, unit, shown)
