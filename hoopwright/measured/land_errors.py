"""Errors of what is fitted to the readings of a land: an uncertainty budget by the GUM (JCGM 100:2008).

The scatter of each gauge is evaluated as type A (repeatability.py). Type B are accuracy, zero and
resolution of each gauge, which all its readings share, and the temperature of the part, which the
stations read at the same one share. A shared error counts by the sum of the weights of the readings
that share it, so it does not shrink with their number; those of different gauges, and of different
temperatures, are independent. The expansion coefficient is common to all, and the product of its error
and that of the temperature is counted beside the terms of first order, as in JCGM 101, 9.5.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from math import inf, sqrt

import numpy as np

from hoopwright.geometry.readings import Gauge
from hoopwright.measured.land_fit import LandFit, ReadingArrays, SharedError
from hoopwright.measured.repeatability import Repeatability, Scatter
from hoopwright.measured.uncertainty_budget import (
    UncertaintyBudget,
    UncertaintyComponent,
    coverage_factor,
    root_sum_of_squares,
)

EXPANSION_PLUS_MINUS = 0.10
"""Relative limit of error of a tabulated expansion coefficient. Common practice, no source."""
EXPANSION = "expansion coefficient"
DISAGREEMENT = 2.58
"""Standard uncertainties between the means of two gauges beyond which they are said to disagree (1 %)."""


def shared_errors(data: ReadingArrays, expansion: float) -> list[SharedError]:
    """Errors that the readings of one gauge, and those at one temperature, have in common."""
    size = float(np.mean(data.diameter))
    of_gauges = [
        SharedError(
            data.gauge == k, root_sum_of_squares(c.standard_uncertainty for c in gauge_components(gauge))
        )
        for k, gauge in enumerate(data.gauges)
    ]
    of_temperatures = [
        SharedError(data.temperature == k, size * expansion * limit / sqrt(3.0))
        for k, (_, limit) in enumerate(data.temperatures)
    ]
    return [*of_gauges, *of_temperatures]


def mean_errors(
    data: ReadingArrays,
    fit: LandFit,
    repeatabilities: Sequence[Repeatability],
    scatters: Sequence[Scatter],
    expansion: float,
) -> tuple[UncertaintyBudget, list[str]]:
    """Uncertainty budget of the mean diameter, and notes on it."""
    weight = fit.weight("mean")
    widened, notes = _disagreement(data, fit, repeatabilities, shared_errors(data, expansion))
    components: list[UncertaintyComponent] = []
    for k, gauge in enumerate(data.gauges):
        own = weight[data.gauge == k]
        found, whole = repeatabilities[k], abs(float(own.sum()))
        parts = [found.component(float(np.linalg.norm(own)))]
        parts += [_scaled(part, whole * widened) for part in gauge_components(gauge)]
        single = scatters[k].std if found.seen or gauge.repeatability is not None else found.std
        if single * sqrt(12.0) < gauge.resolution:  # otherwise the scatter of the readings contains it
            parts.append(UncertaintyComponent("resolution", 0.5 * gauge.resolution * whole))
        several = len(data.gauges) > 1
        components += [replace(p, name=f"{gauge.name}: {p.name}") for p in parts] if several else parts
        if found.note:
            notes.append(f"{gauge.name}: {found.note}" if several and found.seen else found.note)
    components += _temperature_of_stations(data, weight, float(fit.values[0]), expansion)
    return UncertaintyBudget(tuple(components)), notes


def _temperature_of_stations(
    data: ReadingArrays, weight: np.ndarray, size: float, expansion: float
) -> list[UncertaintyComponent]:
    """Type B components of the temperatures of the part, each shared by the stations read at it."""
    found = []
    for k, (rise, limit) in enumerate(data.temperatures):
        share = abs(float(weight[data.temperature == k].sum()))
        parts = temperature_components(size * share, rise, limit, expansion)
        several = f", {k + 1} of {len(data.temperatures)} stated" if len(data.temperatures) > 1 else ""
        found += [replace(p, name=p.name + several) for p in parts if p.name != EXPANSION]
    rise = float(weight @ data.rise)
    return [*found, *(p for p in temperature_components(size, rise, 0.0, expansion) if p.name == EXPANSION)]


def _disagreement(
    data: ReadingArrays,
    fit: LandFit,
    repeatabilities: Sequence[Repeatability],
    shared: Sequence[SharedError],
) -> tuple[float, list[str]]:
    """How many times as far apart the gauges are as their errors explain, by which these are widened (the
    ratio of Birge, from memory), and a note on it; 1 where they explain it."""
    found = [(1.0, "")]
    for a, b in combinations(range(len(data.gauges)), 2):
        of_a, of_b = data.gauge == a, data.gauge == b
        explained = root_sum_of_squares(
            (
                *(s.standard * float(s.members[of_a].mean() - s.members[of_b].mean()) for s in shared),
                repeatabilities[a].std / sqrt(of_a.sum()),
                repeatabilities[b].std / sqrt(of_b.sum()),
            )
        )
        means = fit.residual[of_a].mean(), fit.residual[of_b].mean()
        apart = abs(float(means[0] - means[1]))
        if apart > DISAGREEMENT * explained:
            note = (
                f"{data.gauges[a].name} and {data.gauges[b].name} differ by {1e3 * apart:.1f} µm "
                f"({1e3 * apart / 25.4:.2g} thou), more than their errors explain: these are widened until "
                "they do. Check both against a known size"
            )
            found.append((apart / explained, note))
    ratio, note = max(found)
    return ratio, [note] if note else []


def _scaled(part: UncertaintyComponent, factor: float) -> UncertaintyComponent:
    return replace(part, scale=part.scale * factor)


def gauge_components(gauge: Gauge) -> list[UncertaintyComponent]:
    """Type B components of a gauge, accuracy and zero, which all its readings share."""
    accuracy = (
        UncertaintyComponent("accuracy of the gauge", gauge.accuracy)
        if gauge.coverage is None
        else UncertaintyComponent("accuracy of the gauge", gauge.accuracy / gauge.coverage, "normal")
    )
    return [accuracy, UncertaintyComponent("zero of the gauge", gauge.zero_error)]


def temperature_components(
    size: float, rise: float, temperature_limit: float, expansion: float
) -> list[UncertaintyComponent]:
    """Type B components of temperature: its own uncertainty, that of the expansion coefficient, and the
    product of both."""
    by_temperature = size * expansion * temperature_limit
    return [
        UncertaintyComponent("part temperature", by_temperature),
        UncertaintyComponent(
            "temperature times expansion", by_temperature * EXPANSION_PLUS_MINUS, "product"
        ),
        UncertaintyComponent(EXPANSION, size * abs(rise) * expansion * EXPANSION_PLUS_MINUS),
    ]


def ovality_half_width(
    data: ReadingArrays,
    fit: LandFit,
    repeatabilities: Sequence[Repeatability],
    scatters: Sequence[Scatter],
    shared: Sequence[SharedError],
) -> float:
    """Half-width of the 95 % interval of the ovality, mm.

    By the scatter of the readings, the stated repeatability or the resolution of their gauges, whichever is
    greatest, and by the errors that only some of the readings share.
    """
    std, factor = [], 0.0
    for scatter, found, gauge in zip(scatters, repeatabilities, data.gauges, strict=True):
        seen = scatter.std if scatter.dof else found.std
        std.append(max(seen, gauge.repeatability or 0.0, gauge.resolution / sqrt(12.0)))
        factor = max(factor, coverage_factor(scatter.dof or found.dof))
    single = np.array(std)[data.gauge]
    weights = np.array([fit.weight("cos"), fit.weight("sin")])
    of_scatter = sqrt(0.5 * float(np.sum((weights * single) ** 2)))
    apart = root_sum_of_squares(
        s.standard * sqrt(0.5 * float(np.sum(weights[:, s.members].sum(axis=1) ** 2))) for s in shared
    )
    return 2.0 * root_sum_of_squares((factor * of_scatter, coverage_factor(inf) * apart))
