"""Temperature of a gauge and of the part it reads, and what both make of a diameter.

A gauge, with the ring or blocks it is set to, is as warm as what it reads unless the case gives its own
temperature: both lie in the same shop. How far it may be from that is counted: a tenth of what the part is
away from 20 °C, and no less than the part's own temperature is known to.

A gauge that compares the part with a ring or blocks which lie beside it shares their temperature, whatever
it is: an error of it counts with the difference of both expansions alone.
"""

from __future__ import annotations

from hoopwright.geometry.readings import Gauge, LandReadings
from hoopwright.measured.uncertainty_budget import UncertaintyComponent

EXPANSION_PLUS_MINUS = 0.10
"""Relative limit of error of a tabulated expansion coefficient. Common practice, no source."""
GAUGE_APART = 0.10
"""Limit of the difference between a gauge's temperature, where it is not given, and the part's, as a share
of what the part is away from 20 °C. Common practice, no source."""


def gauge_rise(gauge: Gauge, part_rise: float) -> float:
    """Temperature of a gauge as it reads a part at `part_rise`; both K above 20 °C."""
    return part_rise if gauge.temperature_rise is None else gauge.temperature_rise


def gauge_plus_minus(gauge: Gauge, part_rise: float, part_limit: float) -> float:
    """Limit of error of a gauge's temperature, K. part_limit: that of the part's."""
    if gauge.temperature_plus_minus is not None:
        return gauge.temperature_plus_minus
    if gauge.temperature_rise is not None:
        return 0.0
    apart = GAUGE_APART * abs(part_rise)
    return apart if gauge.comparator else max(apart, part_limit)


def temperature_components(
    size: float, rise: float, limit: float, expansion: float, gauge: Gauge
) -> list[UncertaintyComponent]:
    """Type B components of temperature, of part and gauge: those of it and of both expansion coefficients.

    rise, limit: temperature of the part, K above 20 °C, and its limit of error. expansion: of the part.
    """
    warm = gauge_rise(gauge, rise)
    part = UncertaintyComponent("part temperature", size * expansion * limit)
    if gauge.comparator and gauge.temperature_rise is None:
        difference = abs(expansion - gauge.expansion)
        part = UncertaintyComponent("temperature of the shop", size * difference * limit)
    apart = gauge_plus_minus(gauge, rise, limit)
    return [
        part,
        UncertaintyComponent("expansion coefficient", size * abs(rise) * expansion * EXPANSION_PLUS_MINUS),
        UncertaintyComponent("gauge temperature", size * gauge.expansion * apart),
        UncertaintyComponent(
            "expansion of the gauge", size * abs(warm) * gauge.expansion * EXPANSION_PLUS_MINUS
        ),
    ]


def land_temperature_components(
    readings: LandReadings, size: float, expansion: float
) -> list[UncertaintyComponent]:
    """The same for all readings of a land: of each component the largest at any of its stations."""
    largest: dict[str, UncertaintyComponent] = {}
    for s in readings.stations:
        for part in temperature_components(
            size, s.temperature_rise, s.temperature_plus_minus, expansion, s.gauge
        ):
            if part.name not in largest or part.scale > largest[part.name].scale:
                largest[part.name] = part
    return list(largest.values())


def whose_temperature(readings: LandReadings) -> list[str]:
    """What is taken of the temperature of gauges that read a part away from 20 °C and have none given."""
    unknown = {
        s.gauge.name: s.gauge
        for s in readings.stations
        if s.gauge.temperature_rise is None and s.temperature_rise != 0.0
    }
    return [
        f"the gauge '{name}' is taken to be as warm as the part it reads"
        + (", and so is what it is set to" if gauge.comparator else "")
        + "; [gauge.NAME] temperature gives another"
        for name, gauge in unknown.items()
    ]
