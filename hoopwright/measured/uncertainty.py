"""The size of a land from its readings, with its uncertainty, after the GUM (JCGM 100:2008).

Each reading v at part temperature θ above 20 °C, with a gauge at θ_g, gives at 20 °C

    d = v (1 − α θ + α_g θ_g)

(first order, as in the GUM's own example H.1). Readings are fitted by least squares with a mean, a
taper along z and an ovality cos 2(φ − φ0), as far as they can see them. What is left is scatter: type A.
Type B: the gauge's accuracy, its zero, its resolution, the temperature and the expansion coefficient.
All readings of a land share these, so they do not shrink with the number of readings.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, inf, sqrt
from typing import Any

import numpy as np
from scipy import special

from geometry.readings import Gauge, LandReadings
from hoopwright.measured.distribution import Errors, Part

EXPANSION_PLUS_MINUS = 0.10
"""Share by which a tabulated expansion coefficient may be off, as a limit. Common practice, no source."""
OUTLIER_SCORE = 3.5
"""Modified z-score 0.6745 |x − median|/MAD beyond which a reading is pointed out. Source: Iglewicz and
Hoaglin, as recommended in the NIST/SEMATECH e-Handbook, 1.3.5.17 (from memory, not seen)."""
ODD_LOBES = (
    "two-point diameters are blind to odd lobes: a three-lobed land of constant width reads as "
    "round; only a three-point gauge, or a mandrel that fits, shows it"
)
EVEN_LOBES = "a three-point gauge is blind to an oval land; cross-check with a two-point gauge"


@dataclass(frozen=True)
class Odd:
    """A reading that stands out: where, its value at 20 °C and how far it is from the fit, mm."""

    z: float
    angle: float | None
    value: float
    off_by: float


@dataclass(frozen=True)
class MeasuredLand:
    """What the readings of one land say; sizes in mm at 20 °C.

    part, surface, index: whose land, e.g. "shell", "bore", 0. diameter: mean over the land;
    diameter_start, diameter_end: at its ends, different only where a taper was seen. errors: of the
    mean. taper: end minus start over the land; ovality: greatest minus least diameter, at clock angle
    ovality_angle (degrees) of the greatest; bell_mouth: end stations minus those between; None where the
    readings cannot show it. scatter: standard deviation of one reading about the fit, with its degrees of
    freedom. expansion: coefficient used, 1/K.
    """

    part: str
    surface: str
    index: int
    readings: LandReadings
    diameter: float
    diameter_start: float
    diameter_end: float
    errors: Errors
    scatter: float
    scatter_dof: int
    taper: float | None
    ovality: float | None
    ovality_angle: float | None
    bell_mouth: float | None
    odd: tuple[Odd, ...]
    notes: tuple[str, ...]
    expansion: float = 0.0

    @property
    def at_20(self) -> tuple[tuple[float, ...], ...]:
        """Every reading at 20 °C, mm, by station."""
        return tuple(
            tuple(
                at_reference(
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
class _Table:
    """All readings of a land as columns: z, angle in radians (nan where not noted), diameter at 20 °C."""

    z: np.ndarray
    angle: np.ndarray
    diameter: np.ndarray


def measured_land(
    readings: LandReadings, *, expansion: float, part: str, surface: str, index: int
) -> MeasuredLand:
    """Evaluate one land. expansion: of the part's material, 1/K."""
    table = _columns(readings, expansion)
    columns, names = _design(table, readings)
    fit, *_ = np.linalg.lstsq(columns, table.diameter, rcond=None)
    dof = len(table.diameter) - columns.shape[1]
    residual = table.diameter - columns @ fit
    scatter = sqrt(float(residual @ residual) / dof) if dof > 0 else 0.0
    found = dict(zip(names, fit, strict=True))
    slope = found.get("slope", 0.0)
    centre = float(found["mean"])
    half = float(0.5 * slope * (readings.z_end - readings.z_start))
    errors, notes = _errors(readings, columns, scatter, dof, centre, expansion)
    odd = _odd(table, columns, max(s.gauge.resolution for s in readings.stations))
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
        _bell_mouth(table),
        odd,
        (*notes, *_blind(readings), *_named(odd)),
        expansion,
    )


def _columns(readings: LandReadings, expansion: float) -> _Table:
    z, angle, diameter = [], [], []
    for s in readings.stations:
        value = np.array(s.values)
        z.append(np.full(len(value), s.z))
        angle.append(np.radians(s.angles) if s.angles else np.full(len(value), np.nan))
        diameter.append(
            at_reference(
                value,
                s.temperature_rise,
                expansion,
                gauge_rise=s.gauge.temperature_rise,
                gauge_expansion=s.gauge.expansion,
            )
        )
    return _Table(np.concatenate(z), np.concatenate(angle), np.concatenate(diameter))


def at_reference(
    value: np.ndarray | float,
    rise: float,
    expansion: float,
    *,
    gauge_rise: float = 0.0,
    gauge_expansion: float = 0.0,
) -> Any:
    """A diameter at 20 °C from what was read, mm. rise, gauge_rise: K above 20 °C.

    >>> round(at_reference(41.045, 10.0, 11.7e-6), 6)
    41.040198
    """
    return value * (1.0 - expansion * rise + gauge_expansion * gauge_rise)


def as_read(
    diameter: float, rise: float, expansion: float, *, gauge_rise: float = 0.0, gauge_expansion: float = 0.0
) -> float:
    """What the gauge shows of a part that has this diameter at 20 °C: the inverse of at_reference."""
    return diameter / (1.0 - expansion * rise + gauge_expansion * gauge_rise)


def _design(table: _Table, readings: LandReadings) -> tuple[np.ndarray, list[str]]:
    """Columns of the fit: mean at the middle of the land, slope along z, ovality; what can be seen."""
    count = len(table.diameter)
    columns, names = [np.ones(count)], ["mean"]
    middle = 0.5 * (readings.z_start + readings.z_end)
    if len(np.unique(table.z)) >= 2 and count >= 4:
        columns.append(table.z - middle)
        names.append("slope")
    two_point = all(s.gauge.contacts == 2 and s.angles for s in readings.stations)
    distinct = len(np.unique(np.round(np.mod(table.angle, np.pi), 6))) if two_point else 0
    if distinct >= 3 and count >= len(names) + 4:
        columns += [np.cos(2.0 * table.angle), np.sin(2.0 * table.angle)]
        names += ["cos", "sin"]
    return np.column_stack(columns), names


def _errors(
    readings: LandReadings, columns: np.ndarray, scatter: float, dof: int, size: float, expansion: float
) -> tuple[Errors, list[str]]:
    """The budget of the mean diameter and what should be said about it."""
    gauges = {s.gauge for s in readings.stations}
    worst = max(gauges, key=lambda g: g.accuracy)
    share = sqrt(float(np.linalg.inv(columns.T @ columns)[0, 0]))
    random, notes = _random(worst, scatter, dof, share)
    rise = max((s.temperature_rise for s in readings.stations), key=abs)
    unsure = max(s.temperature_plus_minus for s in readings.stations)
    parts = [*random, *gauge_parts(worst), *temperature_parts(size, rise, unsure, expansion)]
    resolution = max(g.resolution for g in gauges)
    if scatter * sqrt(12.0) < resolution:  # otherwise the scatter of the readings contains it
        parts.append(Part("resolution", 0.5 * resolution))
    if len(gauges) > 1:
        notes.append("read with more than one gauge: the least accurate one sets the accuracy")
    return Errors(tuple(parts)), notes


def _random(gauge: Gauge, scatter: float, dof: int, share: float) -> tuple[list[Part], list[str]]:
    """Type A: from the readings' own scatter, or from the gauge's known repeatability where given."""
    known = gauge.repeatability
    if known is not None:
        greatest = known * sqrt(special.chdtri(dof, 0.01) / dof) if dof > 0 else inf
        if scatter <= greatest:
            return [Part("repeatability of the gauge", known * share, "normal")], []
        return (
            [Part("scatter of the readings", scatter * share, "normal", dof)],
            ["the readings scatter more than the gauge's repeatability explains (1 % level)"],
        )
    if dof < 1:
        return [], [
            "too few readings to show their scatter: read at least twice more, or give the "
            "gauge's repeatability"
        ]
    return [Part("scatter of the readings", scatter * share, "normal", dof)], []


def gauge_parts(gauge: Gauge) -> list[Part]:
    """Type B of an instrument: accuracy and zero, shared by all its readings."""
    accuracy = (
        Part("accuracy of the gauge", gauge.accuracy)
        if gauge.coverage is None
        else Part("accuracy of the gauge", gauge.accuracy / gauge.coverage, "normal")
    )
    return [accuracy, Part("zero of the gauge", gauge.zero_error)]


def temperature_parts(size: float, rise: float, unsure: float, expansion: float) -> list[Part]:
    """Type B of temperature: how well it is known, and how well the expansion coefficient is."""
    return [
        Part("part temperature", size * expansion * unsure),
        Part("expansion coefficient", size * abs(rise) * expansion * EXPANSION_PLUS_MINUS),
    ]


def _odd(table: _Table, columns: np.ndarray, resolution: float) -> tuple[Odd, ...]:
    """Readings far from a fit that one of them cannot drag along (least absolute deviations)."""
    free = len(table.diameter) - columns.shape[1]
    if free < 2:
        return ()
    weight = np.ones(len(table.diameter))
    for _ in range(25):
        weighted = columns * weight[:, None]
        fit = np.linalg.solve(weighted.T @ columns, weighted.T @ table.diameter)
        residual = table.diameter - columns @ fit
        weight = 1.0 / np.maximum(np.abs(residual), 1e-7)
    off = residual - np.median(residual)
    # Such a fit runs through as many readings as it has terms: they tell nothing of the scatter. And one
    # step of the gauge is no outlier, however alike the other readings are.
    spread = max(float(np.median(np.sort(np.abs(off))[-free:])), 0.25 * resolution, 1e-4)
    rows = np.flatnonzero(0.6745 * np.abs(off) / spread > OUTLIER_SCORE)
    return tuple(
        Odd(
            float(table.z[k]),
            None if np.isnan(table.angle[k]) else degrees(table.angle[k]),
            float(table.diameter[k]),
            float(off[k]),
        )
        for k in rows
    )


def _bell_mouth(table: _Table) -> float | None:
    """Mean of the two end stations minus the mean of those between, mm; positive is a wider mouth."""
    stations = np.unique(table.z)
    if len(stations) < 3:
        return None
    means = [float(table.diameter[table.z == z].mean()) for z in stations]
    share = (stations[1:-1] - stations[0]) / (stations[-1] - stations[0])
    straight = means[0] + share * (means[-1] - means[0])
    return -float(np.mean(np.array(means[1:-1]) - straight))


def _blind(readings: LandReadings) -> list[str]:
    contacts = {s.gauge.contacts for s in readings.stations}
    return [ODD_LOBES] if contacts == {2} else [EVEN_LOBES] if contacts == {3} else []


def _named(odd: tuple[Odd, ...]) -> list[str]:
    if not odd:
        return []
    which = ", ".join(
        f"z {o.z:g} mm"
        + ("" if o.angle is None else f" at {o.angle:.0f}°")
        + f" ({1e3 * o.off_by:+.1f} µm)"
        for o in odd[:4]
    )
    more = f" and {len(odd) - 4} more" if len(odd) > 4 else ""
    return [
        f"{len(odd)} of the readings stand out: {which}{more}; they are kept. Rule: modified z-score "
        f"above {OUTLIER_SCORE:g}. Clean the land and read there again"
    ]
