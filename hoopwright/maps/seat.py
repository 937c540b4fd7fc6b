"""Maps of the unrolled seat: contact pressure where the joint comes nearest to opening, and the share of
the grip that shear takes where it comes nearest to slip. Both as their rows judge them, at the loosest fit.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.checks import Evidence
from hoopwright.checks.joint_slips import along_seat, nearest_to_slip, shear_over_capacity
from hoopwright.checks.margin import When
from hoopwright.checks.seat_pressure import seat_pressure, total_pressure
from hoopwright.checks.service_rows import loosest, when_of
from hoopwright.clamp_edges import unjudged_under_loads
from hoopwright.maps.moments import IN_USE
from hoopwright.maps.section import thinned
from hoopwright.service.study import ServiceSolution, Spot, Superposed

MAX_PAIRS, MAX_ANGLES = 56, 72
MAX_SHARE = 99.0
"""Share of the grip above which it is shown as this: where hardly any grip is left, it has no end."""


@dataclass(frozen=True)
class SeatMap:
    """A value over z and θ of the seat, at one moment.

    z: (pairs,), mm; theta: (angles,), degrees. value: (pairs, angles); judged: (pairs,) bool. nearest: the
    value as it is judged, where it comes nearest to its limit, with z and theta. runs: ranges of pairs
    without a gap between them, from and up to. averaging_length: along z, mm.
    """

    when: When
    z: np.ndarray
    theta: np.ndarray
    value: np.ndarray
    judged: np.ndarray
    nearest: tuple[float, float, float]
    runs: tuple[tuple[int, int], ...]
    averaging_length: float


def opening_map(evidence: Evidence) -> SeatMap | None:
    """Contact pressure, MPa, where the joint comes nearest to opening in use; negative where it opens."""
    found = loosest(evidence, IN_USE)
    if found is None:
        return None
    fit, service = found.found.finest
    pressure, k = seat_pressure(fit, service), service.instants.nearest(found.spot.instant)
    value = np.where(pressure.judged[:, None], pressure.total[k], total_pressure(fit, service)[k])
    return _map(found.found, found.spot, value, pressure.judged, -found.spot.value)


def slip_map(evidence: Evidence) -> SeatMap | None:
    """Shear over what friction and a credited compound hold, where the joint comes nearest to slip."""
    service = evidence.study.service
    if service is None or not evidence.has_loads or "seat" in unjudged_under_loads(evidence.case):
        return None
    found, spot, _ = nearest_to_slip(evidence, service)
    fit, solution = found.finest
    k = solution.instants.nearest(spot.instant)
    value = shear_over_capacity(fit, solution, along_seat(evidence, solution))[k]
    judged = seat_pressure(fit, solution).judged
    return _map(found, spot, np.minimum(value, MAX_SHARE), judged, min(spot.value, MAX_SHARE))


def _map(found: Superposed, spot: Spot, value: np.ndarray, judged: np.ndarray, nearest: float) -> SeatMap:
    seat = found.finest[1].seat
    runs = runs_of(seat.z, seat.averaging_length)
    ends = [k for start, end in runs for k in (start, end - 1)]
    pairs = thinned(len(seat.z), MAX_PAIRS, (*ends, int(np.argmin(np.abs(seat.z - spot.z)))))
    step = -(-len(seat.theta) // MAX_ANGLES)
    at_edges = _beside_edges(found.finest[1], spot)
    starts = [int(np.searchsorted(pairs, start)) for start, _ in runs]
    return SeatMap(
        when_of(found, spot),
        seat.z[pairs],
        np.degrees(seat.theta[::step]),
        value[pairs][:, ::step],
        (judged & ~at_edges)[pairs],
        (nearest, spot.z, spot.theta),
        tuple(zip(starts, [*starts[1:], len(pairs)], strict=True)),
        seat.averaging_length,
    )


def _beside_edges(service: ServiceSolution, spot: Spot) -> np.ndarray:
    """Pairs beside an edge of a clamp, which are not judged under loads."""
    beside = service.edges.beside(service.seat.z)
    return beside if spot.instant.case is not None else np.zeros_like(beside)


def runs_of(z: np.ndarray, averaging_length: float) -> list[tuple[int, int]]:
    """Ranges of contact pairs without a gap wider than the averaging length."""
    breaks = np.flatnonzero(np.diff(z) > max(averaging_length, 3.0 * np.median(np.diff(z)))) + 1
    edges = [0, *breaks.tolist(), len(z)]
    return list(zip(edges[:-1], edges[1:], strict=True))
