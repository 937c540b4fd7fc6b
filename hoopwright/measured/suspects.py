"""Readings that do not agree with the others of their land: a slip of the pen, dirt, a knocked gauge.

Each is named with what it may have been meant to be, as a question. It stays counted as it was written:
only who read it can say, and `confirmed = true` at its station does.

A reading is held against what the others say of its place: a mean, with a taper and an ovality where they
can show them, from a fit without it. It stands out where it is farther off than its gauge may err, and than
the scatter of the others explains. That scatter is pooled with what the gauge is known to repeat to, or two
or three readings could never show anything.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import degrees, sqrt

import numpy as np
from scipy import special

from hoopwright.geometry.readings import LandReadings
from hoopwright.measured.slips import likeliest_slip

LEVEL = 0.01
"""Chance that of all the readings of a sound land one stands out by its scatter. Own choice."""
PRIOR_DOF = 3
"""Degrees of freedom that the repeatability of the gauge counts for beside the scatter. Own choice."""
ASSUMED_SHARE = 0.5
"""Standard deviation of a reading where no repeatability is given, as a share of the accuracy of the gauge.
Common practice, no source."""
FORM = 0.020
"""What a whole station may be off its neighbours by form, a bell-mouth or a waist, mm. Common practice, no
source: beyond that it is looked at again before anything is cut."""
MOST_ROUNDS = 12
"""Suspects, or stations of them, that are looked for in a land."""
FEW = 14
"""Readings up to which two slips are looked for at once, which hide each other among few."""
GREATEST_LEVERAGE = 0.9
"""Share of a reading in its own fitted value beyond which the fit follows it and says nothing about it."""


@dataclass(frozen=True)
class Suspect:
    """A reading that stands out: where, and its value and how far it is off the others, mm at 20 °C.

    written: as in the case, with its unit. meant: what it may have been meant to be, likewise, "" where no
    single slip explains it; slip: by which. confirmed: the case says that it is so.
    """

    z: float
    angle: float | None
    value: float
    residual: float
    written: str = ""
    meant: str = ""
    slip: str = ""
    confirmed: bool = False


@dataclass(frozen=True)
class _Data:
    """All readings of a land: z, angle in radians (nan where not noted), diameter at 20 °C; the station of
    each, and by how much it may be off another and how it repeats, mm."""

    z: np.ndarray
    angle: np.ndarray
    diameter: np.ndarray
    station: np.ndarray
    floor: np.ndarray
    repeats: np.ndarray


@dataclass(frozen=True)
class _Odd:
    """Readings that stand out together: their indices, the least excess over what is allowed, as a ratio,
    and of each the distance from the others and the part of the allowance that is not form, mm."""

    rows: tuple[int, ...]
    ratio: float
    off: tuple[float, ...]
    allowed: tuple[float, ...]


def suspects(readings: LandReadings, diameters: np.ndarray) -> tuple[Suspect, ...]:
    """The readings that stand out, in the order of the case. diameters: all readings at 20 °C, mm."""
    data = _data(readings, diameters)
    left = np.arange(len(diameters))
    found: dict[int, tuple[float, float]] = {}
    for _ in range(min(MOST_ROUNDS, max(1, (len(diameters) - 1) // 2))):
        odd = max(_candidates(data, left), key=lambda one: one.ratio, default=None)
        if odd is None or odd.ratio <= 1.0:
            break
        for k, off, allowed in zip(odd.rows, odd.off, odd.allowed, strict=True):
            found[k] = (off, allowed)
        left = np.setdiff1d(left, odd.rows)
    return tuple(_suspect(readings, data, k, *found[k]) for k in sorted(found))


def _data(readings: LandReadings, diameters: np.ndarray) -> _Data:
    stations = readings.stations
    several = len({s.gauge for s in stations}) > 1
    worst = max(s.gauge.accuracy + s.gauge.zero_error for s in stations)
    z, angle, station, floor, repeats = [], [], [], [], []
    for k, s in enumerate(stations):
        count, gauge = len(s.values), s.gauge
        z.append(np.full(count, s.z))
        angle.append(np.radians(s.angles) if s.angles else np.full(count, np.nan))
        station.append(np.full(count, k))
        # one gauge errs alike everywhere, by its zero at least; of two, each may err its own way
        own = gauge.accuracy + (gauge.zero_error + worst if several else 0.0)
        floor.append(np.full(count, max(own, gauge.resolution)))
        known = gauge.repeatability or ASSUMED_SHARE * gauge.accuracy
        repeats.append(np.full(count, max(known, gauge.resolution / sqrt(12.0), 1e-5)))
    z_all = np.concatenate(z)
    place = np.unique(z_all, return_inverse=True)[1]
    return _Data(
        z_all, np.concatenate(angle), diameters, place, np.concatenate(floor), np.concatenate(repeats)
    )


def _candidates(data: _Data, left: np.ndarray) -> Iterator[_Odd]:
    """What may stand out of the readings left: single ones, whole stations, and pairs of few readings."""
    if len(left) < 2:
        return
    if len(left) == 2:
        yield _of_two(data, left)
        return
    yield from (_against_rest(data, left, (int(k),)) for k in _worth_a_look(data, left))
    places = np.unique(data.station[left])
    if len(places) > 1:
        for place in places[:MOST_ROUNDS]:
            rows = tuple(int(k) for k in left[data.station[left] == place])
            if len(rows) > 1 and len(left) - len(rows) >= 2:
                yield _against_rest(data, left, rows)
    if 5 <= len(left) <= FEW:
        yield from (_against_rest(data, left, (int(a), int(b))) for a, b in combinations(left, 2))


def _worth_a_look(data: _Data, left: np.ndarray) -> np.ndarray:
    """Of many readings those farthest from their median at either side; all of few."""
    if len(left) <= 4 * FEW:
        return left
    off = np.abs(data.diameter[left] - np.median(data.diameter[left]))
    return np.asarray(left[np.argsort(-off)[: 4 * FEW]])


def _of_two(data: _Data, left: np.ndarray) -> _Odd:
    """Two readings that contradict each other: neither can be said to be the one that is off."""
    a, b = (int(k) for k in left)
    off = float(data.diameter[a] - data.diameter[b])
    allowed = max(_allowed(data, left, 0.0, 0, 2.0, a), float(data.floor[left].max()))
    elsewhere = data.z[a] != data.z[b] or data.angle[a] != data.angle[b]
    ratio = abs(off) / (allowed + (FORM if elsewhere else 0.0))
    return _Odd((a, b), ratio, (off, -off), (allowed, allowed))


def _against_rest(data: _Data, left: np.ndarray, rows: tuple[int, ...]) -> _Odd:
    """Some readings against a fit of the rest: the least excess over all forms that the rest can show."""
    rest = np.setdiff1d(left, rows)
    whole = {int(p) for p in data.station[list(rows)]} - {int(p) for p in data.station[rest]}
    form = FORM if whole else 0.0
    best: _Odd | None = None
    for columns in _forms(data, rest):
        design = columns[rest]
        fit, _, rank, _ = np.linalg.lstsq(design, data.diameter[rest], rcond=None)
        if rank < design.shape[1]:
            continue  # taper and ovality cannot be told apart
        dof = len(rest) - design.shape[1]
        residual = data.diameter[rest] - design @ fit
        inverse = np.linalg.inv(design.T @ design)
        off, allowed, ratio = [], [], []
        for k in rows:
            spread = 1.0 + float(columns[k] @ inverse @ columns[k])
            if spread > 1.0 / (1.0 - GREATEST_LEVERAGE):
                break
            off.append(float(data.diameter[k] - columns[k] @ fit))
            allowed.append(_allowed(data, left, float(residual @ residual), dof, spread, k))
            ratio.append(abs(off[-1]) / (allowed[-1] + form))
        else:
            if best is None or min(ratio) < best.ratio:
                best = _Odd(rows, min(ratio), tuple(off), tuple(allowed))
    return best or _Odd(rows, 0.0, (0.0,) * len(rows), (0.0,) * len(rows))


def _allowed(data: _Data, left: np.ndarray, squares: float, dof: int, spread: float, k: int) -> float:
    """How far reading k may lie from what the rest say, mm. squares, dof: of their residuals. spread:
    variance of the difference over that of one reading."""
    prior = float(data.repeats[left].max())
    single = sqrt((PRIOR_DOF * prior**2 + squares) / (PRIOR_DOF + dof))
    factor = float(special.stdtrit(PRIOR_DOF + dof, 1.0 - 0.5 * LEVEL / len(left)))
    return max(float(data.floor[k]), factor * single * sqrt(spread))


def _forms(data: _Data, rest: np.ndarray) -> Iterator[np.ndarray]:
    """Design matrices of what the rest can show, with a reading to spare: a mean, a taper, an ovality."""
    one = np.ones((len(data.z), 1))
    yield one
    along = (data.z - data.z.mean())[:, None]
    has_taper = len(np.unique(data.z[rest])) >= 2 and len(rest) >= 3
    angles = data.angle[rest]
    distinct = 0 if np.isnan(data.angle).any() else len(np.unique(np.round(np.mod(angles, np.pi), 6)))
    has_oval = distinct >= 3 and len(rest) >= 4
    oval = np.column_stack([np.cos(2.0 * data.angle), np.sin(2.0 * data.angle)])
    if has_taper:
        yield np.hstack([one, along])
    if has_oval:
        yield np.hstack([one, oval])
    if has_taper and has_oval and len(rest) >= 5:
        yield np.hstack([one, along, oval])


def _suspect(readings: LandReadings, data: _Data, k: int, off: float, allowed: float) -> Suspect:
    first = 0
    for station in readings.stations:
        if k < first + len(station.values):
            break
        first += len(station.values)
    at = k - first
    text = station.written[at] if station.written else f"{station.values[at]:.6g}"
    value = float(data.diameter[k])
    to_20 = value / station.values[at] * station.unit_mm  # of a number as it is written
    meant, slip = likeliest_slip(text, lambda number: abs(number * to_20 - (value - off)), within=allowed)
    return Suspect(
        float(data.z[k]),
        None if np.isnan(data.angle[k]) else degrees(data.angle[k]),
        value,
        off,
        f"{text} {station.unit}",
        f"{meant} {station.unit}" if meant else "",
        slip,
        station.confirmed,
    )


def suspect_notes(found: tuple[Suspect, ...]) -> list[str]:
    """Notes on readings that stand out: those to be read again, and those confirmed."""
    open_, sure = ([s for s in found if s.confirmed is is_sure] for is_sure in (False, True))
    notes = []
    if open_:
        notes.append(
            f"{len(open_)} of the readings stand out: {_listed(open_)}; they are kept. Clean the land and "
            "read there again, or write confirmed = true at the station if it is so"
        )
    if sure:
        notes.append(
            f"{len(sure)} of the readings stand out and are confirmed: {_listed(sure)}; counted as read"
        )
    return notes


def _listed(found: list[Suspect]) -> str:
    which = ", ".join(
        f"z {s.z:g} mm"
        + ("" if s.angle is None else f" at {s.angle:.0f}°")
        + f" ({1e3 * s.residual:+.1f} µm)"
        for s in found[:4]
    )
    return which + (f" and {len(found) - 4} more" if len(found) > 4 else "")
