"""Interference and contact pressure at the temperatures of use, without friction and without loads."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.checks import Evidence
from hoopwright.checks.stays_tight import interference_lost
from hoopwright.state import frictionless


@dataclass(frozen=True)
class AtTemperature:
    """Of the joint at rest without its cups, at one temperature, K above 20 °C. interference: mean,
    effective, diametral, mm; pressure: mean, MPa; each at the least, the likely and the greatest that the
    sizes allow."""

    rise: float
    interference: tuple[float, float, float]
    pressure: tuple[float, float, float]


def at_temperatures(evidence: Evidence) -> tuple[AtTemperature, ...]:
    """From the coldest in use to the hottest, the bench among them; none where no range is given."""
    rises = sorted(evidence.rises) if evidence.range_of_use else ()
    return tuple(_at(evidence, rise) for rise in rises)


def _at(evidence: Evidence, rise: float) -> AtTemperature:
    study = evidence.study
    left = study.nominal_interference - interference_lost(study, rise).value
    shifts = evidence.least, 0.0, evidence.greatest
    least, likely, greatest = (left + shift for shift in shifts)
    low, usual, high = (study.at(frictionless(s, rise)).finest.mean_pressure for s in shifts)
    return AtTemperature(rise, (least, likely, greatest), (low, usual, high))
