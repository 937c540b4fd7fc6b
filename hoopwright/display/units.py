"""Format quantities in metric or inch units, always with the unit."""

from __future__ import annotations

import math
import re
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
_NUMBER = r"[-+−]?\d[\d.]*"
_STRETCH = rf"{_NUMBER}(?: to {_NUMBER})?"
_IN_METRIC, _IN_INCH = (
    rf"({_STRETCH} (?:{'|'.join(label for label, _ in shown.values())}))" for shown in (METRIC, INCH)
)
_OTHER_FIRST = {
    "metric": re.compile(rf"{_IN_INCH} \({_IN_METRIC}\)"),
    "inch": re.compile(rf"{_IN_METRIC} \({_IN_INCH}\)"),
}
"""A quantity in the units of the other reader, with the same in those of this one in brackets."""
ROUNDING = 1e-9
"""Share of the last digit by which a converted number may miss a whole one."""
PINT_NAME = {"µm": "um", "N·m": "N*m", "ft·lbf": "ft*lbf", "°C": "degC", "°F": "degF"}


@dataclass(frozen=True)
class Units:
    """The system of units for display: "metric" or "inch"."""

    system: str = "metric"

    def label(self, unit: str) -> str:
        """The unit shown for a machine unit; an unknown one stays as it is."""
        return self._shown.get(unit, (unit, 3))[0]

    def number(self, value: float, unit: str, *, decimals: int | None = None) -> str:
        """The converted number without its unit, never "-0.0"; decimals: those usual for the unit."""
        text = f"{self._converted(value, unit):.{self._decimals(unit) if decimals is None else decimals}f}"
        return text if float(text) else text.removeprefix("-")

    def number_below(self, value: float, unit: str) -> str:
        """The converted number without its unit, in the usual decimals, rounded down."""
        decimals = self._decimals(unit)
        steps = math.floor(self._converted(value, unit) * 10.0**decimals + ROUNDING)
        return f"{steps / 10.0**decimals:.{decimals}f}"

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

    def first(self, text: str) -> str:
        """A text in which quantities stand in both systems, those of this one first: "1.0 in (25.4 mm)"."""
        return _OTHER_FIRST[self.system].sub(r"\2 (\1)", text)

    def span(self, low: float, high: float, unit: str) -> str:
        """An interval with its unit once, e.g. "31.7 to 40.2 µm"."""
        return f"{self.number(low, unit)} to {self.text(high, unit)}"

    def span_both(self, low: float, high: float, unit: str) -> str:
        """The same with the other system in brackets."""
        other = Units("inch" if self.system == "metric" else "metric")
        return f"{self.span(low, high, unit)} ({other.span(low, high, unit)})"

    def along(self, value: float) -> str:
        """A place or a distance along the axis, mm, with its unit: no finer than a rule."""
        return f"{self.along_number(value)} {self.label('mm')}"

    def along_both(self, value: float) -> str:
        """The same with the other system in brackets."""
        other = Units("inch" if self.system == "metric" else "metric")
        return f"{self.along(value)} ({other.along(value)})"

    def along_span(self, start: float, end: float) -> str:
        """A stretch of the axis, mm, with its unit once, e.g. "0.0 to 41.5 mm"."""
        return f"{self.along_number(start)} to {self.along(end)}"

    def along_number(self, value: float) -> str:
        """A place or a distance along the axis, mm, without its unit."""
        return self.number(value, "mm", decimals=1 if self.system == "metric" else 2)

    def measured_diameter(self, value: float) -> str:
        """The mean of diameter readings, mm, with its unit: one decimal more than a size has."""
        return self.text(value, "mm", decimals=4 if self.system == "metric" else 5)

    def error(self, value: float, unit: str = "") -> str:
        """A numerical error, e.g. "0.0139 MPa", "12 MPa" or "< 0.0001 MPa"; of a margin without a unit."""
        decimals = 3 if not unit else 4 if self.system == "metric" else 5
        shown = self.number(value, unit, decimals=decimals)
        if float(shown) >= 10.0:
            return self.text(value, unit, decimals=0).rstrip()
        if not float(shown):
            shown = f"< {10.0**-decimals:.{decimals}f}"
        return f"{shown} {self.label(unit)}".rstrip()

    def expansion(self, value: float) -> str:
        """An expansion coefficient in 1/K."""
        per, label = (1.0, "K") if self.system == "metric" else (1.8, "°F")
        return f"{1e6 * value / per:.1f} · 10⁻⁶ /{label}"

    def density(self, value: float) -> str:
        """A density in kg/m³."""
        if self.system == "metric":
            return f"{value:g} kg/m³"
        return f"{value * 0.0254**3 / 0.45359237:.3f} lb/in³"

    def temperature(self, value: float) -> str:
        """A temperature in °C as an oven or a freezer shows it, in whole degrees."""
        return self.text(value, "degC", decimals=0)

    def _converted(self, value: float, unit: str) -> float:
        label = self.label(unit)
        if label == "°F":
            return converted(value, unit, "degF")
        return _factor(unit, PINT_NAME.get(label, label)) * value

    def _decimals(self, unit: str) -> int:
        return self._shown.get(unit, (unit, 3))[1]

    @property
    def _shown(self) -> dict[str, tuple[str, int]]:
        return INCH if self.system == "inch" else METRIC


def margin_text(margin: float | None) -> str:
    """A margin with its sign, in at most seven characters: "+0.33", "+565", ">999", or "no loss".

    margin: None or infinite where nothing is demanded.
    """
    if margin is None or math.isinf(margin):
        return "no loss"
    if margin >= 1e3:
        return ">999"
    return f"{margin:+.2f}" if abs(margin) < 99.995 else f"{margin:+.0f}"


def state_text(state: str) -> str:
    """The word for the state of a row: holds, fails, undecided, not assessed."""
    return "undecided" if state == "unresolved" else state


def state_cell(state: str) -> str:
    """The same for a table or a bar, where what fails stands out without colour: "FAILS"."""
    return "FAILS" if state == "fails" else state_text(state)


def flagged_margin(margin: float | None, state: str) -> str:
    """A margin for a table without a column of states: "+0.12", "-0.30 FAILS", "+0.12 undecided"."""
    return margin_text(margin) if state == "holds" else f"{margin_text(margin)} {state_cell(state)}"


def percent_text(share: float) -> str:
    """A probability or a share as a percentage, e.g. "98.3 %"."""
    return f"{100.0 * share:.1f} %"


@cache
def _factor(unit: str, shown: str) -> float:
    return 1.0 if unit == shown else converted(1.0, unit, shown)
