"""Size of a land from its readings, with its uncertainty by the GUM (JCGM 100:2008).

Each reading v at part temperature θ above 20 °C, with a gauge at θ_g, gives at 20 °C

    d = v (1 − α θ + α_g θ_g)

(first order, as in the GUM's own example H.1). A mean, a taper along z and an ovality cos 2(φ − φ0), as
far as the readings can resolve them, are fitted by least squares. The residual scatter is evaluated as
type A. Type B are the gauge's accuracy, its zero, its resolution, the temperature and the expansion
coefficient. All readings of a land share these, so they do not shrink with the number of readings.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, inf, sqrt
from typing import Any

import numpy as np
from scipy import special

from hoopwright.geometry.readings import Gauge, LandReadings
from hoopwright.measured.suspects import Suspect, suspect_notes, suspects
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent

EXPANSION_PLUS_MINUS = 0.10
"""Relative limit of error of a tabulated expansion coefficient. Common practice, no source."""
ODD_LOBES = (
    "two-point diameters are blind to odd lobes: a three-lobed land of constant width reads as "
    "round; only a three-point gauge, or a mandrel that fits, shows it"
)
EVEN_LOBES = "a three-point gauge is blind to an oval land; cross-check with a two-point gauge"


@dataclass(frozen=True)
class MeasuredLand:
    """Evaluation of the readings of one land; sizes in mm at 20 °C.

    part, surface, index: identify the land, e.g. "shell", "bore", 0. diameter: mean over the land;
    diameter_start, diameter_end: at its ends, different only where a taper was resolved. errors: of the
    mean. taper: end minus start over the land; ovality: greatest minus least diameter, with the greatest
    at clock angle ovality_angle (degrees), known to ovality_plus_minus (95 %, from the scatter alone: the
    gauge errs alike at every angle); bell_mouth: end stations minus those between. Each of these is
    None where the readings cannot resolve it. scatter, scatter_dof: standard deviation of one reading
    about the fit, and its degrees of freedom. expansion: coefficient used, 1/K.
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
    taper: float | None
    ovality: float | None
    ovality_angle: float | None
    ovality_plus_minus: float
    bell_mouth: float | None
    outliers: tuple[Suspect, ...]
    notes: tuple[str, ...]
    expansion: float = 0.0

    @property
    def readings_at_20(self) -> tuple[tuple[float, ...], ...]:
        """All readings corrected to 20 °C, mm, by station."""
        return tuple(
            tuple(
                diameter_at_20(
                    v,
                    s.temperature_rise,
                    self.expansion,
                    gauge_rise=s.gauge.temperature_rise,
                    gauge_expansion=s.gauge.expansion,
                )
                for v in s.values
            )
            for s in self.readings.stations
        )

    @property
    def plus_minus(self) -> float:
        """Half-width of the 95 % interval of the mean diameter, mm."""
        return self.errors.half_width()


@dataclass(frozen=True)
class _Readings:
    """All readings of a land as arrays: z, angle in radians (nan where not noted), diameter at 20 °C."""

    z: np.ndarray
    angle: np.ndarray
    diameter: np.ndarray


def measured_land(
    readings: LandReadings, *, expansion: float, part: str, surface: str, index: int
) -> MeasuredLand:
    """Evaluate the readings of one land. expansion: coefficient of the part's material, 1/K."""
    data = _readings_at_20(readings, expansion)
    design, names = _design_matrix(data, readings)
    fit, *_ = np.linalg.lstsq(design, data.diameter, rcond=None)
    dof = len(data.diameter) - design.shape[1]
    residual = data.diameter - design @ fit
    scatter = sqrt(float(residual @ residual) / dof) if dof > 0 else 0.0
    found = dict(zip(names, fit, strict=True))
    slope = found.get("slope", 0.0)
    centre = float(found["mean"])
    half = float(0.5 * slope * (readings.z_end - readings.z_start))
    errors, notes = _errors(readings, design, scatter, dof, centre, expansion)
    outliers = suspects(readings, data.diameter)
    oval = 2.0 * float(np.hypot(found["cos"], found["sin"])) if "cos" in found else None
    at = degrees(0.5 * np.arctan2(found["sin"], found["cos"])) % 180.0 if "cos" in found else None
    return MeasuredLand(
        part,
        surface,
        index,
        readings,
        centre,
        centre - half,
        centre + half,
        errors,
        scatter,
        dof,
        2.0 * half if "slope" in found else None,
        oval,
        at,
        0.0 if oval is None else _ovality_half_width(readings, design, names, scatter, dof),
        _bell_mouth(data),
        outliers,
        (*notes, *_blind_spots(readings), *suspect_notes(outliers)),
        expansion,
    )


def _ovality_half_width(
    readings: LandReadings, design: np.ndarray, names: list[str], scatter: float, dof: int
) -> float:
    """Half-width of the 95 % interval of the ovality, mm, by the scatter of the readings or, where it is
    known, the repeatability of the gauge."""
    gauges = {s.gauge for s in readings.stations}
    known = max((g.repeatability or 0.0 for g in gauges), default=0.0)
    resolution = max(g.resolution for g in gauges)
    single = max(scatter if dof > 0 else 0.0, known, resolution / sqrt(12.0))
    covariance = np.linalg.inv(design.T @ design)
    k = names.index("cos")
    of_amplitude = single * sqrt(0.5 * float(covariance[k, k] + covariance[k + 1, k + 1]))
    return 2.0 * float(special.stdtrit(dof, 0.975) if dof > 0 else 1.96) * of_amplitude


def _readings_at_20(readings: LandReadings, expansion: float) -> _Readings:
    z, angle, diameter = [], [], []
    for s in readings.stations:
        value = np.array(s.values)
        z.append(np.full(len(value), s.z))
        angle.append(np.radians(s.angles) if s.angles else np.full(len(value), np.nan))
        diameter.append(
            diameter_at_20(
                value,
                s.temperature_rise,
                expansion,
                gauge_rise=s.gauge.temperature_rise,
                gauge_expansion=s.gauge.expansion,
            )
        )
    return _Readings(np.concatenate(z), np.concatenate(angle), np.concatenate(diameter))


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


def _design_matrix(data: _Readings, readings: LandReadings) -> tuple[np.ndarray, list[str]]:
    """Design matrix of the fit and the names of its columns, as far as the readings resolve them.

    "mean": at mid-length; "slope": along z; "cos", "sin": of the ovality.
    """
    count = len(data.diameter)
    design, names = [np.ones(count)], ["mean"]
    middle = 0.5 * (readings.z_start + readings.z_end)
    if len(np.unique(data.z)) >= 2 and count >= 4:
        design.append(data.z - middle)
        names.append("slope")
    two_point = all(s.gauge.contacts == 2 and s.angles for s in readings.stations)
    distinct = len(np.unique(np.round(np.mod(data.angle, np.pi), 6))) if two_point else 0
    if distinct >= 3 and count >= len(names) + 4:
        design += [np.cos(2.0 * data.angle), np.sin(2.0 * data.angle)]
        names += ["cos", "sin"]
    return np.column_stack(design), names


def _errors(
    readings: LandReadings, design: np.ndarray, scatter: float, dof: int, size: float, expansion: float
) -> tuple[UncertaintyBudget, list[str]]:
    """Uncertainty budget of the mean diameter, and notes on it."""
    gauges = {s.gauge for s in readings.stations}
    worst = max(gauges, key=lambda g: g.accuracy)
    share = sqrt(float(np.linalg.inv(design.T @ design)[0, 0]))
    random, notes = _type_a(worst, scatter, dof, share)
    rise = max((s.temperature_rise for s in readings.stations), key=abs)
    temperature_limit = max(s.temperature_plus_minus for s in readings.stations)
    components = [
        *random,
        *gauge_components(worst),
        *temperature_components(size, rise, temperature_limit, expansion),
    ]
    resolution = max(g.resolution for g in gauges)
    if scatter * sqrt(12.0) < resolution:  # otherwise the scatter of the readings contains it
        components.append(UncertaintyComponent("resolution", 0.5 * resolution))
    if len(gauges) > 1:
        notes.append("read with more than one gauge: the least accurate one sets the accuracy")
    return UncertaintyBudget(tuple(components)), notes


def _type_a(
    gauge: Gauge, scatter: float, dof: int, share: float
) -> tuple[list[UncertaintyComponent], list[str]]:
    """Type A components, and notes on them.

    They come from the gauge's repeatability where it is known and explains the scatter (1 % level), else
    from the scatter of the readings.
    """
    known = gauge.repeatability
    if known is not None:
        greatest = known * sqrt(special.chdtri(dof, 0.01) / dof) if dof > 0 else inf
        if scatter <= greatest:
            return [UncertaintyComponent("repeatability of the gauge", known * share, "normal")], []
        return (
            [UncertaintyComponent("scatter of the readings", scatter * share, "normal", dof)],
            ["the readings scatter more than the gauge's repeatability explains (1 % level)"],
        )
    if dof < 1:
        return [], [
            "too few readings to show their scatter: read at least twice more, or give the "
            "gauge's repeatability"
        ]
    return [UncertaintyComponent("scatter of the readings", scatter * share, "normal", dof)], []


def gauge_components(gauge: Gauge) -> list[UncertaintyComponent]:
    """Type B components of a gauge, accuracy and zero, which all its readings share."""
    accuracy = (
        UncertaintyComponent("accuracy of the gauge", gauge.accuracy, common=gauge.name)
        if gauge.coverage is None
        else UncertaintyComponent(
            "accuracy of the gauge", gauge.accuracy / gauge.coverage, "normal", common=gauge.name
        )
    )
    return [accuracy, UncertaintyComponent("zero of the gauge", gauge.zero_error, common=gauge.name)]


def temperature_components(
    size: float, rise: float, temperature_limit: float, expansion: float
) -> list[UncertaintyComponent]:
    """Type B components of temperature: its own uncertainty and that of the expansion coefficient."""
    return [
        UncertaintyComponent("part temperature", size * expansion * temperature_limit, common="part"),
        UncertaintyComponent(
            "expansion coefficient", size * abs(rise) * expansion * EXPANSION_PLUS_MINUS, common="part"
        ),
    ]


def _bell_mouth(data: _Readings) -> float | None:
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
