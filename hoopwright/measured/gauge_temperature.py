"""Temperature of a gauge and of the part it reads, and what both make of a diameter.

A gauge, with the ring or blocks it is set to, is as warm as what it reads unless the case gives its own
temperature: both lie in the same shop. How far it may be from that is counted: a tenth of what the part is
away from 20 °C, and no less than the part's own temperature is known to.

A gauge that compares the part with a ring or blocks which lie beside it shares their temperature, whatever
it is: an error of it counts with the difference of both expansions alone.

What a mean is wrong by follows from the weights of its readings. Readings at one stated temperature share
its error, and readings of one gauge in it share that of the gauge; those of different temperatures are
independent. The expansion of the part is common to all, that of a gauge to all its readings. The product
of an error of temperature and one of expansion is counted beside the terms of first order, as in JCGM 101,
9.5.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoopwright.geometry.readings import Gauge, LandReadings
from hoopwright.measured.uncertainty_budget import UncertaintyComponent

EXPANSION_PLUS_MINUS = 0.10
"""Relative limit of error of a tabulated expansion coefficient. Common practice, no source."""
GAUGE_APART = 0.10
"""Limit of the difference between a gauge's temperature, where it is not given, and the part's, as a share
of what the part is away from 20 °C. Common practice, no source."""


@dataclass(frozen=True, order=True)
class Warmth:
    """Temperatures during a reading, K above 20 °C, and their limits of error, K.

    beside: gauge and part share a temperature, whatever it is; `gauge_limit` is then what they differ by.
    """

    part: float
    part_limit: float
    gauge: float
    gauge_limit: float
    beside: bool = False

    @classmethod
    def of(cls, gauge: Gauge, rise: float, limit: float) -> Warmth:
        beside = gauge.comparator and gauge.temperature_rise is None
        return cls(rise, limit, gauge_rise(gauge, rise), gauge_plus_minus(gauge, rise, limit), beside)

    @property
    def stated(self) -> tuple[float, float]:
        """Temperature of the part as the case has it, by which readings share its error."""
        return self.part, self.part_limit

    def sensitivity(self, expansion: float, gauge: Gauge) -> float:
        """Relative error of a diameter per kelvin of the part's temperature."""
        return expansion - (gauge.expansion if self.beside else 0.0)


@dataclass(frozen=True)
class WarmShare:
    """Readings with one gauge at one temperature: the sum of their weights in a mean."""

    gauge: Gauge
    warmth: Warmth
    weight: float


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
    return temperature_errors(size, [WarmShare(gauge, Warmth.of(gauge, rise, limit), 1.0)], expansion)


def temperature_errors(
    size: float, shares: Sequence[WarmShare], expansion: float
) -> list[UncertaintyComponent]:
    """The same of a mean whose readings were taken with several gauges, or at several temperatures."""
    stated = sorted({s.warmth.stated for s in shares})
    gauges = sorted({s.gauge for s in shares}, key=repr)
    found: list[UncertaintyComponent] = []
    for k, at in enumerate(stated):
        several = f", {k + 1} of {len(stated)} stated" if len(stated) > 1 else ""
        found += _of_part(size, at, [s for s in shares if s.warmth.stated == at], expansion, several)
    found.append(
        UncertaintyComponent(
            "expansion coefficient",
            size * expansion * EXPANSION_PLUS_MINUS * abs(sum(s.weight * s.warmth.part for s in shares)),
            common="expansion of the part",
        )
    )
    for gauge in gauges:
        of_gauge = f"{gauge.name}: " if len(gauges) > 1 else ""
        found += _of_gauge(size, gauge, [s for s in shares if s.gauge == gauge], of_gauge)
    return found


def _of_part(
    size: float, stated: tuple[float, float], shares: Sequence[WarmShare], expansion: float, several: str
) -> list[UncertaintyComponent]:
    """Errors that the readings at one stated temperature of the part share."""
    limit = size * stated[1]
    first = abs(sum(s.weight * s.warmth.sensitivity(expansion, s.gauge) for s in shares))
    name = "temperature of the shop" if all(s.warmth.beside for s in shares) else "part temperature"
    of_part = EXPANSION_PLUS_MINUS * expansion * abs(sum(s.weight for s in shares))
    of_gauges = abs(sum(s.weight * s.gauge.expansion for s in shares if s.warmth.beside))
    cause = f"temperature {stated[0]:g} ± {stated[1]:g} K"
    return [
        UncertaintyComponent(name + several, limit * first, common=cause),
        UncertaintyComponent(
            "temperature times expansion" + several, limit * of_part, "product", common=f"{cause}, part"
        ),
        UncertaintyComponent(
            "temperature times expansion of the gauge" + several,
            limit * EXPANSION_PLUS_MINUS * of_gauges,
            "product",
            common=f"{cause}, gauge",
        ),
    ]


def _of_gauge(
    size: float, gauge: Gauge, shares: Sequence[WarmShare], of_gauge: str
) -> list[UncertaintyComponent]:
    """Errors of the temperature and expansion of one gauge: one of its temperature for each it was at."""
    scale, found = size * gauge.expansion, []
    apart = sorted({(s.warmth.gauge, s.warmth.gauge_limit) for s in shares if s.warmth.gauge_limit > 0.0})
    for k, at in enumerate(apart):
        weight = abs(sum(s.weight for s in shares if (s.warmth.gauge, s.warmth.gauge_limit) == at))
        several = f", {k + 1} of {len(apart)}" if len(apart) > 1 else ""
        cause = f"temperature of {gauge.name}, {at[0]:g} ± {at[1]:g} K"
        by_limit = scale * at[1] * weight
        found += [
            UncertaintyComponent(f"{of_gauge}gauge temperature{several}", by_limit, common=cause),
            UncertaintyComponent(
                f"{of_gauge}gauge temperature times its expansion{several}",
                by_limit * EXPANSION_PLUS_MINUS,
                "product",
                common=f"{cause}, gauge",
            ),
        ]
    warm = abs(sum(s.weight * s.warmth.gauge for s in shares))
    expands = UncertaintyComponent(
        f"{of_gauge}expansion of the gauge",
        scale * EXPANSION_PLUS_MINUS * warm,
        common=f"expansion of {gauge.name}",
    )
    return [*found, expands]


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
        for name, gauge in sorted(unknown.items())
    ]
