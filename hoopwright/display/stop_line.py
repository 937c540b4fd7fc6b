"""Stop values as a person at the press reads them: rounded down, so that none lies above the one computed.

Every stop value of screen, record, notebook and shop sheet is written here; by the gauge in its divisions
(hoopwright/display/gauge.py), by force in whole newtons or pounds.
"""

from __future__ import annotations

from hoopwright.display.gauge import Gauge
from hoopwright.display.units import Units


def stop_number(force: float, units: Units) -> str:
    """The whole newtons or pounds not above a force in N, without the unit."""
    return units.number_below(force, "N")


def stop_text(force: float, units: Units) -> str:
    """The same with the unit, e.g. "13216 N"."""
    return f"{stop_number(force, units)} {units.label('N')}"


def stop_both(force: float, units: Units) -> str:
    """The same with the other system in brackets, rounded down there too."""
    other = Units("inch" if units.system == "metric" else "metric")
    return f"{stop_text(force, units)} ({stop_text(force, other)})"


def stop_mark(pressure: float, gauge: Gauge) -> str:
    """The last division of the gauge not above a pressure in MPa, with its unit, e.g. "65 bar"."""
    return f"{gauge.text(gauge.below(pressure))} {gauge.unit}"
