"""Format quantities in metric or inch units, always with the unit."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from hoopwright.case.quantity import converted

# Machine unit: the unit shown and the number of decimals.
METRIC = {
    "mm": ("mm", 3),
    "um": ("µm", 1),
    "MPa": ("MPa", 1),
    "N": ("N", 0),
    "N*m": ("N·m", 1),
    "degC": ("°C", 1),
}
INCH = {
    "mm": ("in", 4),
    "um": ("thou", 2),
    "MPa": ("ksi", 2),
    "N": ("lbf", 0),
    "N*m": ("ft·lbf", 1),
    "degC": ("°F", 1),
}
PINT_NAME = {"µm": "um", "N·m": "N*m", "ft·lbf": "ft*lbf", "°C": "degC", "°F": "degF"}


@dataclass(frozen=True)
class Units:
    """The system of units for display: "metric" or "inch"."""

    system: str = "metric"

    def label(self, unit: str) -> str:
        """The unit shown for a machine unit; an unknown one stays as it is."""
        return self._shown.get(unit, (unit, 3))[0]

    def number(self, value: float, unit: str, *, decimals: int | None = None) -> str:
        """The converted number without its unit; decimals default to those usual for the unit."""
        label, usual = self._shown.get(unit, (unit, 3))
        shown = (
            _factor(unit, PINT_NAME.get(label, label)) * value
            if label != "°F"
            else converted(value, unit, "degF")
        )
        return f"{shown:.{usual if decimals is None else decimals}f}"

    def text(self, value: float, unit: str, *, decimals: int | None = None) -> str:
        """Number and unit, e.g. "35.0 µm"."""
        return f"{self.number(value, unit, decimals=decimals)} {self.label(unit)}"

    def given(self, value: float, unit: str) -> str:
        """A quantity as given by the user: its own digits, or four significant ones where converted."""
        if self.system == "metric":
            return f"{value:g} {self.label(unit)}"
        return f"{float(f'{float(self.number(value, unit, decimals=9)):.4g}'):g} {self.label(unit)}"

    def both(self, value: float, unit: str) -> str:
        """Number and unit in this system, with the other system in brackets."""
        other = Units("inch" if self.system == "metric" else "metric")
        return f"{self.text(value, unit)} ({other.text(value, unit)})"

    def along(self, value: float) -> str:
        """A place or a distance along the axis, mm, with its unit: no finer than a rule."""
        return f"{self.along_number(value)} {self.label('mm')}"

    def along_number(self, value: float) -> str:
        """The same without its unit."""
        return self.number(value, "mm", decimals=1 if self.system == "metric" else 2)

    def temperature(self, value: float) -> str:
        """A temperature in °C as an oven or a freezer shows it, in whole degrees and never "-0"."""
        shown = self.text(value, "degC", decimals=0)
        return shown.removeprefix("-") if shown.startswith("-0 ") else shown

    @property
    def _shown(self) -> dict[str, tuple[str, int]]:
        return INCH if self.system == "inch" else METRIC


def unsigned_zero(value: float) -> float:
    """The value, or zero where it would be shown as -0.0."""
    return 0.0 if abs(value) < 0.05 else value


def margin_text(margin: float | None) -> str:
    """A margin with its sign, in at most six characters: "+0.33", "-565", ">999", or "none".

    margin: None or infinite where nothing is demanded.
    """
    if margin is None or math.isinf(margin):
        return "none"
    if abs(margin) >= 1e3:
        return ">999" if margin > 0.0 else "<-999"
    return f"{margin:+.2f}" if abs(margin) < 99.995 else f"{margin:+.0f}"


def state_text(state: str) -> str:
    """The word for the state of a row: holds, fails, undecided, not assessed."""
    return "undecided" if state == "unresolved" else state


@cache
def _factor(unit: str, shown: str) -> float:
    return 1.0 if unit == shown else converted(1.0, unit, shown)
