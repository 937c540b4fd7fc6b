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
MAX_ROUNDS = 12
"""Suspects, or stations of them, that are looked for in a land."""
MAX_STATIONS = 40
"""Stations that are held against the rest as a whole."""
FEW = 16
"""Readings up to which two slips are looked for at once, which hide each other among few."""
NEAR = 0.25
"""Share of its distance from the others up to which a slip must bring a reading back to them."""
SHOWN = 4
"""Suspects that a note lists."""
GREATEST_LEVERAGE = 0.9
"""Share of a reading in its own fitted value beyond which the fit follows it and says nothing about it."""


@dataclass(frozen=True)
class Suspect:
    """A reading that stands out: where, and its value and how far it is off the others, mm at 20 °C.

    written: as in the case, with its unit. meant: what it may have been meant to be, likewise, "" where no
    single slip explains it; slip: by which. confirmed: the case says that it is so. station, place: which
    station of its land it is of, and which of the values there.
    """

    z: float
    angle: float | None
    value: float
    residual: float
    written: str = ""
    meant: str = ""
    slip: str = ""
    confirmed: bool = False
    station: int = 0
    place: int = 0


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
    if np.ptp(diameters) <= data.floor.min():
        return ()  # none is farther from the mean of the others
    left = np.arange(len(diameters))
    found: dict[int, tuple[float, float]] = {}
    for _ in range(min(MAX_ROUNDS, max(1, (len(diameters) - 1) // 2))):
        if len(left) < 2:
            break
        candidates = [_of_two(data, left)] if len(left) == 2 else _candidates(data, left)
        odd = max(candidates, key=lambda one: one.ratio)
        if odd.ratio <= 1.0:
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


def _candidates(data: _Data, left: np.ndarray) -> list[_Odd]:
    """What stands out most of the readings left: of single ones, of whole stations, of pairs of few."""
    count = len(left)
    found = [_oddest(data, left, np.arange(count)[:, None])]
    for place in np.unique(data.station[left])[:MAX_STATIONS]:
        rows = np.flatnonzero(data.station[left] == place)
        if len(rows) > 1 and count - len(rows) >= 2:
            found.append(_oddest(data, left, rows[None, :]))
    if 5 <= count <= FEW:
        found.append(_oddest(data, left, np.array(list(combinations(range(count), 2)))))
    return found


def _of_two(data: _Data, left: np.ndarray) -> _Odd:
    """Two readings that contradict each other: neither can be said to be the one that is off."""
    a, b = (int(k) for k in left)
    off = float(data.diameter[a] - data.diameter[b])
    single = _factor(2, 0) * float(data.repeats[left].max())
    allowed = max(sqrt(2.0) * single, float(data.floor[left].max()))
    elsewhere = data.z[a] != data.z[b] or data.angle[a] != data.angle[b]
    ratio = abs(off) / (allowed + (FORM if elsewhere else 0.0))
    return _Odd((a, b), ratio, (off, -off), (allowed, allowed))


def _oddest(data: _Data, left: np.ndarray, sets: np.ndarray) -> _Odd:
    """The one of several sets of readings that stands out most against a fit of the rest, by the least
    excess over all forms that the rest can show.

    sets: one a row, as places in `left`. With e the residuals of a fit to all and Q an orthonormal basis of
    its form, a set S is off what the rest say by M e_S, with M = (1 − Q_S Q_Sᵀ)⁻¹, which is
    1 + Q_S (1 − Q_Sᵀ Q_S)⁻¹ Q_Sᵀ and whose diagonal is the variance of that difference.
    """
    diameter = data.diameter[left] - np.median(data.diameter[left])
    floor, prior = data.floor[left][sets], float(data.repeats[left].max())
    form = FORM * _are_whole(data.station[left], sets)[:, None]
    ratio, off, allowed = np.full(len(sets), np.inf), np.zeros(sets.shape), np.ones(sets.shape)
    for design in _forms(data, left):
        dof = len(left) - sets.shape[1] - design.shape[1]
        basis, triangle = np.linalg.qr(design)
        if dof < (1 if design.shape[1] > 1 else 0) or np.abs(np.diagonal(triangle)).min() < 1e-9:
            continue  # nothing to spare, or taper and ovality cannot be told apart
        e = diameter - basis @ (basis.T @ diameter)
        own = basis[sets]
        rest = np.eye(design.shape[1]) - own.transpose(0, 2, 1) @ own
        sound = np.linalg.det(rest) > 1e-9
        inverse = np.linalg.inv(np.where(sound[:, None, None], rest, np.eye(design.shape[1])))
        spread = 1.0 + ((own @ inverse) * own).sum(axis=2)
        sound &= (spread <= 1.0 / (1.0 - GREATEST_LEVERAGE)).all(axis=1)
        away = e[sets] + (own @ (inverse @ (own.transpose(0, 2, 1) @ e[sets][:, :, None])))[:, :, 0]
        squares = np.maximum(e @ e - (e[sets] * away).sum(axis=1), 0.0)
        single = np.sqrt((PRIOR_DOF * prior**2 + squares) / (PRIOR_DOF + dof))[:, None]
        allows = np.maximum(floor, _factor(len(left), dof) * single * np.sqrt(spread))
        excess = (np.abs(away) / (allows + form)).min(axis=1)
        better = sound & (excess < ratio)
        ratio[better], off[better], allowed[better] = excess[better], away[better], allows[better]
        if ratio.max() <= 1.0:
            break  # no form makes it more
    ratio[np.isinf(ratio)] = 0.0
    most = int(np.argmax(ratio))
    rows = tuple(int(k) for k in left[sets[most]])
    return _Odd(rows, float(ratio[most]), tuple(map(float, off[most])), tuple(map(float, allowed[most])))


def _factor(count: int, dof: int) -> float:
    """Student's t for one of `count` readings, where the scatter has dof and what is known beforehand."""
    return float(special.stdtrit(PRIOR_DOF + dof, 1.0 - 0.5 * LEVEL / count))


def _are_whole(station: np.ndarray, sets: np.ndarray) -> np.ndarray:
    """Whether sets hold all the readings of a station."""
    counts = np.bincount(station)
    within = (station[sets][:, :, None] == station[sets][:, None, :]).sum(axis=2)
    return np.asarray((within == counts[station[sets]]).any(axis=1))


def _forms(data: _Data, left: np.ndarray) -> Iterator[np.ndarray]:
    """Design matrices of what readings may show: a mean, a taper, an ovality, both."""
    one, z, angle = np.ones((len(left), 1)), data.z[left], data.angle[left]
    along = (z - z.mean())[:, None]
    oval = np.column_stack([np.cos(2.0 * angle), np.sin(2.0 * angle)])
    tapers = len(np.unique(z)) >= 2
    is_oval = not np.isnan(angle).any() and len(np.unique(np.round(np.mod(angle, np.pi), 6))) >= 3
    yield one
    if tapers:
        yield np.hstack([one, along])
    if is_oval:
        yield np.hstack([one, oval])
    if tapers and is_oval:
        yield np.hstack([one, along, oval])


def _suspect(readings: LandReadings, data: _Data, k: int, off: float, allowed: float) -> Suspect:
    places = [(n, at) for n, one in enumerate(readings.stations) for at in range(len(one.values))]
    which, at = places[k]
    station = readings.stations[which]
    text = station.written[at] if station.written else f"{station.values[at]:.6g}"
    value = float(data.diameter[k])
    to_20 = value / station.values[at] * station.unit_mm  # of a number as it is written
    within = min(allowed, NEAR * abs(off))
    meant, slip = likeliest_slip(text, lambda number: abs(number * to_20 - (value - off)), within=within)
    return Suspect(
        float(data.z[k]),
        None if np.isnan(data.angle[k]) else degrees(data.angle[k]),
        value,
        off,
        f"{text} {station.unit}",
        f"{meant} {station.unit}" if meant else "",
        slip,
        station.confirmed,
        which,
        at,
    )


def suspect_text(one: Suspect) -> str:
    """A reading that stands out: as it was written, where, by how much, and what it may have been."""
    angle = "" if one.angle is None else f", {one.angle:.0f}°"
    by = f"{1e3 * abs(one.residual):.1f} µm ({abs(one.residual) / 0.0254:.2f} thou)"
    side = "above" if one.residual > 0.0 else "below"
    meant = f": {one.meant}, {one.slip}?" if one.meant else ""
    place = f"z {one.z:.1f} mm ({one.z / 25.4:.2f} in)"
    return f"{one.written} at {place}{angle}, {by} {side} the others{meant}"


def suspect_notes(found: tuple[Suspect, ...]) -> list[str]:
    """Notes on readings that stand out: those to be read again, and those confirmed."""
    notes = []
    for sure in (False, True):
        some = [one for one in found if one.confirmed is sure]
        if not some:
            continue
        listed = "; ".join(suspect_text(one) for one in some[:SHOWN])
        more = f"; and {len(some) - SHOWN} more" if len(some) > SHOWN else ""
        then = (
            "It is so, by the case: they count as read"
            if sure
            else "They are kept. Clean the land and read there again; if it is so, write confirmed = true "
            "at the station"
        )
        notes.append(f"readings that stand out, {len(some)}: {listed}{more}. {then}")
    return notes
