"""Errors of what is fitted to the readings of a land: an uncertainty budget by the GUM (JCGM 100:2008).

The scatter of each gauge is evaluated as type A (repeatability.py). Type B are accuracy, zero and
resolution of each gauge, which all its readings share, the temperatures of part and gauge
(gauge_temperature.py), and the form that readings at these places cannot show (form_prior.py). A shared
error counts by the sum of the weights of the readings that share it, so it does not shrink with their
number; those of different gauges, and of different temperatures, are independent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from math import inf, sqrt

import numpy as np

from hoopwright.geometry.readings import Gauge, LandReadings
from hoopwright.measured.form_prior import unread_form
from hoopwright.measured.gauge_temperature import WarmShare, temperature_errors
from hoopwright.measured.land_fit import LandFit, ReadingArrays, SharedError, two_directions
from hoopwright.measured.repeatability import Repeatability, Scatter
from hoopwright.measured.uncertainty_budget import (
    UncertaintyBudget,
    UncertaintyComponent,
    coverage_factor,
    root_sum_of_squares,
)

DISAGREEMENT = 2.58
"""Standard uncertainties between the means of two gauges beyond which they are said to disagree (1 %)."""


def shared_errors(data: ReadingArrays, expansion: float) -> list[SharedError]:
    """Errors that the readings of one gauge, and those at one temperature, have in common."""
    size = float(np.mean(data.diameter))
    of_gauges = [
        SharedError(
            (data.gauge == k).astype(float),
            root_sum_of_squares(c.standard_uncertainty for c in gauge_components(gauge)),
        )
        for k, gauge in enumerate(data.gauges)
    ]
    return [*of_gauges, *_of_temperatures(data, size, expansion)]


def _of_temperatures(data: ReadingArrays, size: float, expansion: float) -> list[SharedError]:
    """Errors of the part's temperature, by the stated one, and of each gauge's in it."""
    warmth, found = [data.temperatures[k] for k in data.temperature], []
    gauges = [data.gauges[k] for k in data.gauge]
    counts = np.array([w.sensitivity(expansion, g) for w, g in zip(warmth, gauges, strict=True)])
    for stated in sorted({w.stated for w in data.temperatures}):
        here = np.array([w.stated == stated for w in warmth]) * counts
        most = float(np.abs(here).max())
        if most > 0.0:
            found.append(SharedError(here / most, size * most * stated[1] / sqrt(3.0)))
    apart = [(k, w.gauge, w.gauge_limit) for k, w in zip(data.gauge, warmth, strict=True)]
    for own in sorted(set(apart)):
        share = np.array([one == own for one in apart], dtype=float)
        found.append(SharedError(share, size * data.gauges[own[0]].expansion * own[2] / sqrt(3.0)))
    return found


def mean_errors(
    data: ReadingArrays,
    fit: LandFit,
    repeatabilities: Sequence[Repeatability],
    scatters: Sequence[Scatter],
    expansion: float,
    form: Sequence[UncertaintyComponent],
) -> tuple[UncertaintyBudget, list[str]]:
    """Uncertainty budget of the mean diameter, and notes on it. form: what its readings do not show."""
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
    components += temperature_errors(float(fit.values[0]), _warm_shares(data, weight), expansion)
    return UncertaintyBudget((*components, *form)), notes


def _warm_shares(data: ReadingArrays, weight: np.ndarray) -> list[WarmShare]:
    """The weights of the readings by gauge and temperature."""
    return [
        WarmShare(gauge, warmth, float(weight[rows].sum()))
        for k, gauge in enumerate(data.gauges)
        for t, warmth in enumerate(data.temperatures)
        if (rows := (data.gauge == k) & (data.temperature == t)).any()
    ]


def form_errors(
    data: ReadingArrays, fit: LandFit, readings: LandReadings, process: str
) -> list[UncertaintyComponent]:
    """Components of the mean for the form that its readings do not show. process: how the land was cut."""
    height = fit.value("bell")
    bell = None if height is None else (fit.weight("bell"), height)
    return unread_form(data.places(readings), fit.weight("mean"), process, bell=bell)


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
                *(s.standard * float(s.share[of_a].mean() - s.share[of_b].mean()) for s in shared),
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
    cause = f"accuracy of {gauge.name}"
    accuracy = (
        UncertaintyComponent("accuracy of the gauge", gauge.accuracy, common=cause)
        if gauge.coverage is None
        else UncertaintyComponent(
            "accuracy of the gauge", gauge.accuracy / gauge.coverage, "normal", common=cause
        )
    )
    return [
        accuracy,
        UncertaintyComponent("zero of the gauge", gauge.zero_error, common=f"zero of {gauge.name}"),
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
    if "across" in fit.names:  # of two directions one difference alone is seen
        first, second = two_directions(data)
        weights, share = fit.weight("across")[None] / abs(np.sin(second - first)), 1.0
    else:
        weights, share = np.array([fit.weight("cos"), fit.weight("sin")]), 0.5
    of_scatter = sqrt(share * float(np.sum((weights * single) ** 2)))
    apart = root_sum_of_squares(
        s.standard * sqrt(share * float(np.sum((weights @ s.share) ** 2))) for s in shared
    )
    return 2.0 * root_sum_of_squares((factor * of_scatter, coverage_factor(inf) * apart))
