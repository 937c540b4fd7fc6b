"""Size of a land from its readings, with its uncertainty by the GUM (JCGM 100:2008).

Each reading v at part temperature θ above 20 °C, with a gauge at θ_g, gives at 20 °C

    d = v (1 − α θ + α_g θ_g)

(first order, as in the GUM's own example H.1). A mean over the land, a taper along z, an ovality
cos 2(φ − φ0) and a bell-mouth, as far as the readings can resolve them, are fitted by weighted least
squares (land_fit.py); their errors follow from the weights (land_errors.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Any

import numpy as np

from hoopwright.geometry.readings import LandReadings, Station
from hoopwright.measured.form_prior import DEFAULT_PROCESS, OUTSIDE_OF_SHELL
from hoopwright.measured.gauge_temperature import Warmth, gauge_rise, whose_temperature
from hoopwright.measured.land_errors import form_errors, mean_errors, ovality_half_width, shared_errors
from hoopwright.measured.land_fit import (
    ReadingArrays,
    design_matrix,
    fit_land,
    ovality_of,
    scatter_by_gauge,
)
from hoopwright.measured.repeatability import Scatter, expected_std, repeatability_of
from hoopwright.measured.suspects import Suspect, suspect_notes, suspects
from hoopwright.measured.uncertainty_budget import UncertaintyBudget

ODD_LOBES = (
    "two-point diameters are blind to odd lobes: a three-lobed land of constant width reads as "
    "round; only a three-point gauge, or a mandrel that fits, shows it"
)
AT_LEAST_SO_OVAL = (
    "two directions show no more of an oval than they differ by: it may be more, between them; a third "
    "direction shows it"
)
EVEN_LOBES = "a three-point gauge is blind to an oval land; cross-check with a two-point gauge"


@dataclass(frozen=True)
class MeasuredLand:
    """Evaluation of the readings of one land; sizes in mm at 20 °C.

    part, surface, index: identify the land, e.g. "shell", "bore", 0. diameter: mean over the land;
    diameter_start, diameter_end: at its ends, different only where a taper was resolved. errors: of the
    mean. taper: end minus start over the land; ovality: greatest minus least diameter, with the greatest
    at clock angle ovality_angle (degrees), known to ovality_plus_minus (95 %, from the scatter and from
    what sets gauges apart: each errs alike at every angle), of two directions the least ovality that makes
    them differ so; bell_mouth: end stations minus those
    between. Each of these is None where the readings cannot resolve it. scatter, scatter_dof: standard
    deviation of one reading about the fit, and its degrees of freedom; scatters: the same of each gauge.
    expansion: coefficient used, 1/K. process: how the land was cut, see form_prior.py.
    """

    part: str
    surface: str
    index: int
    readings: LandReadings
    diameter: float
    diameter_start: float
    diameter_end: float
    errors: UncertaintyBudget
    scatter: float
    scatter_dof: int
    scatters: tuple[Scatter, ...]
    taper: float | None
    ovality: float | None
    ovality_angle: float | None
    ovality_plus_minus: float
    bell_mouth: float | None
    outliers: tuple[Suspect, ...]
    notes: tuple[str, ...]
    expansion: float = 0.0
    process: str = ""

    @property
    def readings_at_20(self) -> tuple[tuple[float, ...], ...]:
        """All readings corrected to 20 °C, mm, by station."""
        return tuple(_at_20(s, self.expansion) for s in self.readings.stations)

    @property
    def plus_minus(self) -> float:
        """Half-width of the 95 % interval of the mean diameter, mm."""
        return self.errors.half_width()


def measured_land(
    readings: LandReadings, *, expansion: float, part: str, surface: str, index: int, process: str = ""
) -> MeasuredLand:
    """Evaluate the readings of one land. expansion: coefficient of the part's material, 1/K. process: how
    it was cut, "" for what is usual of the part."""
    process = process or (
        OUTSIDE_OF_SHELL if (part, surface) == ("shell", "outside") else DEFAULT_PROCESS[part]
    )
    data = _readings_at_20(readings, expansion)
    design, names = design_matrix(data, readings)
    expected = np.array([expected_std(g, surface) for g in data.gauges])[data.gauge]
    shared = shared_errors(data, expansion)
    fit = fit_land(design, names, data.diameter, expected, shared)
    scatters = tuple(
        Scatter(gauge, *found)
        for gauge, found in zip(data.gauges, scatter_by_gauge(data, design, expected), strict=True)
    )
    repeatabilities = tuple(repeatability_of(s, surface) for s in scatters)
    dof = max(len(data.diameter) - design.shape[1] - len(data.gauges) + 1, 0)
    square = sum(s.dof * s.std**2 for s in scatters)
    centre = float(fit.values[0])
    half = 0.5 * (fit.value("slope") or 0.0) * (readings.z_end - readings.z_start)
    form = form_errors(data, fit, readings, process)
    errors, notes = mean_errors(data, fit, repeatabilities, scatters, expansion, form)
    outliers = suspects(readings, np.concatenate([_at_20(s, expansion) for s in readings.stations]))
    oval, at = ovality_of(data, fit)
    return MeasuredLand(
        part,
        surface,
        index,
        readings,
        centre,
        centre - half,
        centre + half,
        errors,
        sqrt(square / dof) if dof else 0.0,
        dof,
        scatters,
        2.0 * half if "slope" in names else None,
        oval,
        at,
        0.0 if oval is None else ovality_half_width(data, fit, repeatabilities, scatters, shared),
        _bell_mouth(data),
        outliers,
        (
            *notes,
            *whose_temperature(readings),
            *_blind_spots(readings),
            *([AT_LEAST_SO_OVAL] if "across" in names else []),
            *suspect_notes(outliers),
        ),
        expansion,
        process,
    )


def _readings_at_20(readings: LandReadings, expansion: float) -> ReadingArrays:
    """The readings as arrays, sorted, so that no result depends on the order in which they were given."""
    rows = []
    for s in readings.stations:
        angles = [float(np.radians(a)) for a in s.angles] or [float("nan")] * len(s.values)
        warmth = Warmth.of(s.gauge, s.temperature_rise, s.temperature_plus_minus)
        for at_20, at in zip(_at_20(s, expansion), angles, strict=True):
            rows.append((s.z, at, at_20, s.gauge.instrument, warmth))
    gauges = sorted(dict.fromkeys(row[3] for row in rows), key=repr)
    temperatures = sorted(dict.fromkeys(row[4] for row in rows))
    gauge = np.array([gauges.index(row[3]) for row in rows])
    temperature = np.array([temperatures.index(row[4]) for row in rows])
    z, angle, diameter = (np.array([row[k] for row in rows], dtype=float) for k in range(3))
    order = np.lexsort((temperature, gauge, diameter, angle, z))
    return ReadingArrays(
        z[order],
        angle[order],
        diameter[order],
        gauge[order],
        temperature[order],
        tuple(gauges),
        tuple(temperatures),
    )


def _at_20(station: Station, expansion: float) -> tuple[float, ...]:
    """The readings of a station corrected to 20 °C, mm."""
    rise = station.temperature_rise
    warm = {"gauge_rise": gauge_rise(station.gauge, rise), "gauge_expansion": station.gauge.expansion}
    return tuple(diameter_at_20(v, rise, expansion, **warm) for v in station.values)


def diameter_at_20(
    value: np.ndarray | float,
    rise: float,
    expansion: float,
    *,
    gauge_rise: float = 0.0,
    gauge_expansion: float = 0.0,
) -> Any:
    """Diameter at 20 °C from a reading, mm. rise, gauge_rise: part and gauge temperature, K above 20 °C.

    >>> round(diameter_at_20(41.045, 10.0, 11.7e-6), 6)
    41.040198
    """
    return value * (1.0 - expansion * rise + gauge_expansion * gauge_rise)


def indicated_diameter(
    diameter: float, rise: float, expansion: float, *, gauge_rise: float = 0.0, gauge_expansion: float = 0.0
) -> float:
    """Reading the gauge shows for a diameter at 20 °C, mm: the inverse of `diameter_at_20`."""
    return diameter / (1.0 - expansion * rise + gauge_expansion * gauge_rise)


def _bell_mouth(data: ReadingArrays) -> float | None:
    """End stations minus the mean of those between, taper removed, mm; positive is a wider mouth."""
    stations = np.unique(data.z)
    if len(stations) < 3:
        return None
    means = [float(data.diameter[data.z == z].mean()) for z in stations]
    share = (stations[1:-1] - stations[0]) / (stations[-1] - stations[0])
    straight = means[0] + share * (means[-1] - means[0])
    return -float(np.mean(np.array(means[1:-1]) - straight))


def _blind_spots(readings: LandReadings) -> list[str]:
    contacts = {s.gauge.contacts for s in readings.stations}
    return [ODD_LOBES] if contacts == {2} else [EVEN_LOBES] if contacts == {3} else []
