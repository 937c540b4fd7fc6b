"""Mean, taper, ovality and bell-mouth of a land, fitted to its readings as far as they resolve them.

The readings are weighted by what their gauges are known for: each has its own repeatability, and those
of one gauge, or of stations read at one temperature, share an error. That is the linear estimate of
least variance (Gauss–Markov, from memory): a second gauge, however coarse, never makes a size less
certain, where a plain mean takes over its errors by the share of its readings. The weights rest on what
is stated or assumed, never on the readings themselves, so the estimate is linear and its sensitivities
are exact. An error that all readings share is that of the mean whatever the weights, and is left out
here.

The shared errors are fitted along with the land, held to zero by their own uncertainty (mixed-model
equations), which needs no matrix as large as the number of readings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoopwright.geometry.readings import Gauge, LandReadings
from hoopwright.measured.form_prior import Places, bell_column, tells_bell_mouth
from hoopwright.measured.gauge_temperature import Warmth


@dataclass(frozen=True)
class ReadingArrays:
    """All readings of a land, in an order of their own: z, angle in radians (nan where not noted), diameter
    at 20 °C. gauge, temperature: index of the gauge in `gauges`, and of the temperatures of part and gauge
    in `temperatures`."""

    z: np.ndarray
    angle: np.ndarray
    diameter: np.ndarray
    gauge: np.ndarray
    temperature: np.ndarray
    gauges: tuple[Gauge, ...]
    temperatures: tuple[Warmth, ...]

    def places(self, readings: LandReadings) -> Places:
        """Where the land was read, in this order."""
        sees_ovality = np.array([g.contacts == 2 for g in self.gauges])[self.gauge]
        return Places.at(readings, self.z, self.angle, sees_ovality)


@dataclass(frozen=True)
class SharedError:
    """An error that some readings have in common: by how much it counts in each, as a share of the most,
    and its standard uncertainty there, mm."""

    share: np.ndarray
    standard: float


@dataclass(frozen=True)
class LandFit:
    """Fitted terms by name, and the weight of each reading in each of them (terms, readings)."""

    names: tuple[str, ...]
    values: np.ndarray
    weights: np.ndarray
    residual: np.ndarray

    def value(self, name: str) -> float | None:
        return float(self.values[self.names.index(name)]) if name in self.names else None

    def weight(self, name: str) -> np.ndarray:
        found: np.ndarray = self.weights[self.names.index(name)]
        return found


def design_matrix(data: ReadingArrays, readings: LandReadings) -> tuple[np.ndarray, tuple[str, ...]]:
    """Design matrix of the fit and the names of its columns, as far as the readings resolve them.

    "mean": over the land; "slope": along z; "cos", "sin": of the ovality; "bell": ends less middle;
    "across": half of what two directions differ by, which is form and not scatter. Two readings are left
    over to show their scatter where no repeatability says it.
    """
    count = len(data.diameter)
    design, names = [np.ones(count)], ["mean"]
    middle = 0.5 * (readings.z_start + readings.z_end)
    if len(np.unique(data.z)) >= 2 and count >= 4:
        design.append(data.z - middle)
        names.append("slope")
    two_point = all(s.gauge.contacts == 2 and s.angles for s in readings.stations)
    turned = np.round(np.mod(data.angle, np.pi), 6) % round(np.pi, 6)  # 180° is 0°, also as rounded
    distinct = len(np.unique(turned)) if two_point else 0
    spare = 0 if all(s.gauge.repeatability for s in readings.stations) else 2
    if distinct >= 3 and count >= len(names) + 2 + spare:
        design += [np.cos(2.0 * data.angle), np.sin(2.0 * data.angle)]
        names += ["cos", "sin"]
    along = data.places(readings).along
    if tells_bell_mouth(along) and count >= len(names) + 1 + spare:
        design.append(bell_column(along))
        names.append("bell")
    if distinct == 2 and count >= len(names) + 1 + spare:
        design.append(np.where(np.isclose(np.cos(2.0 * (data.angle - data.angle[0])), 1.0), 1.0, -1.0))
        names.append("across")
    return np.column_stack(design), tuple(names)


def fit_land(
    design: np.ndarray,
    names: tuple[str, ...],
    diameter: np.ndarray,
    std: np.ndarray,
    shared: Sequence[SharedError],
) -> LandFit:
    """Weighted fit of the readings. std: of each reading, mm."""
    effects = [e for e in shared if np.ptp(e.share) > 0.0 and e.standard > 0.0]
    columns = [design, *(e.share[:, None] for e in effects)]
    terms = design.shape[1]
    held = np.zeros((len(effects), terms + len(effects)))
    for k, effect in enumerate(effects):
        held[k, terms + k] = 1.0 / effect.standard
    system = np.vstack([np.hstack(columns) / std[:, None], held])
    weights = np.linalg.pinv(system)[:terms, : len(diameter)] / std
    values = weights @ diameter
    return LandFit(names, values, weights, diameter - design @ values)


def ovality_of(data: ReadingArrays, fit: LandFit) -> tuple[float | None, float | None]:
    """Greatest less least diameter of an oval land, mm, and the clock angle of the greatest, degrees; None
    where the readings do not show it.

    Two directions φ and φ + δ that differ by d show the least oval that makes them differ so: d/|sin δ|,
    45° from the middle between them on the side of the greater.
    """
    cos, sin, across = (fit.value(name) for name in ("cos", "sin", "across"))
    if cos is not None and sin is not None:
        return 2.0 * float(np.hypot(cos, sin)), float(np.degrees(0.5 * np.arctan2(sin, cos)) % 180.0)
    if across is None:
        return None, None
    first, second = two_directions(data)
    turn = np.sin(second - first)
    greatest = 0.5 * (first + second) - np.copysign(0.25 * np.pi, across * turn)
    return 2.0 * abs(across) / abs(float(turn)), float(np.degrees(greatest) % 180.0)


def two_directions(data: ReadingArrays) -> tuple[float, float]:
    """The clock angles of a land read in two directions, that of its first reading first, in radians."""
    apart = ~np.isclose(np.cos(2.0 * (data.angle - data.angle[0])), 1.0)
    return float(data.angle[0]), float(data.angle[apart][0])


def scatter_by_gauge(
    data: ReadingArrays, design: np.ndarray, std: np.ndarray
) -> tuple[tuple[float, float], ...]:
    """Standard deviation of one reading about the fit, mm, and its degrees of freedom, by gauge.

    Each gauge has a mean of its own here, so that what sets two gauges apart does not count as scatter. The
    degrees of freedom are those that the fit leaves its readings, 1 less the leverage of each.
    """
    own = (data.gauge[:, None] == np.arange(len(data.gauges))).astype(float)
    system = np.hstack([own, design[:, 1:]]) / std[:, None]
    inverse = np.linalg.pinv(system)
    scaled = data.diameter / std
    residual = std * (scaled - system @ (inverse @ scaled))
    freedom = 1.0 - np.sum(system * inverse.T, axis=1)
    found = []
    for k in range(len(data.gauges)):
        dof = round(float(freedom[data.gauge == k].sum()), 9)
        if dof < 1.0:
            found.append((0.0, 0.0))
            continue
        square = float(np.sum(residual[data.gauge == k] ** 2))
        found.append(((square / dof) ** 0.5, dof))
    return tuple(found)
