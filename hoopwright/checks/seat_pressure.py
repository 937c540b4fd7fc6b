"""Contact pressure of fit plus service along the seat, and the part of the seat where it is judged."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.fit import FitSolution
from hoopwright.service.peaks import between_angles
from hoopwright.service.study import ServiceSolution, Spot

MIN_PRESSURE_SHARE = 0.1
"""Share of the mean fit pressure below which the bodies count as separated by the fit itself.

Beside a free end the bodies separate over a short stretch when they are pressed together, and the pressure
falls to zero towards it. There service has nothing to open or to make slip, and the pressure left beside
the edge depends on where the nodes of the mesh happen to lie.
"""

WHERE_JUDGED = f"where the fit gives at least {100 * MIN_PRESSURE_SHARE:.0f} % of its mean pressure"
"""The same condition in words, for the basis of a row."""


@dataclass(frozen=True)
class SeatPressure:
    """Contact pressure at the closed pairs, averaged along the seat.

    fit: pressure of the fit, (pairs,), MPa; judged: where it is judged, (pairs,) bool; total: pressure of
    fit + service, (instants, pairs, angles), MPa. At a judged pair next to an edge, where the fit
    is below its mean, the fit pressure is replaced by that of the edge, MIN_PRESSURE_SHARE of the mean: it
    then no longer depends on where the nodes lie.
    """

    fit: np.ndarray
    judged: np.ndarray
    total: np.ndarray


def total_pressure(fit: FitSolution, service: ServiceSolution) -> np.ndarray:
    """Contact pressure of fit + service at all closed pairs, averaged along the seat, (instants, pairs,
    angles), MPa."""
    return _service_pressure(service) + _averaged(fit, service)[:, None]


def seat_pressure(fit: FitSolution, service: ServiceSolution) -> SeatPressure:
    """Contact pressure of one fit with the service loads, and where it is judged."""
    fit_pressure = _averaged(fit, service)
    mean = float(service.seat.weight @ fit_pressure)
    judged = fit_pressure >= MIN_PRESSURE_SHARE * mean
    fit_pressure = np.where(
        judged & _beside_an_edge(judged, service) & (fit_pressure < mean),
        MIN_PRESSURE_SHARE * mean,
        fit_pressure,
    )
    return SeatPressure(fit_pressure, judged, _service_pressure(service) + fit_pressure[:, None])


def seat_spot(field: np.ndarray, service: ServiceSolution) -> Spot:
    """The maximum of a field (instants, pairs, angles) on the seat, with its location and instant; under
    loads not beside the edges of a clamp. The field holds all instants, or the last of them, which is no
    load."""
    seat, first = service.seat, len(service.seat.pressure) - len(field)
    if service.edges.bands:
        loaded = np.arange(len(field)) < len(field) - 1
        unjudged = loaded[:, None] & service.edges.beside(seat.z)
        field = np.where(unjudged[:, :, None], -np.inf, field)
    case, pair, angle = np.unravel_index(int(np.argmax(field)), field.shape)
    value, theta = between_angles(field[case, pair], seat.theta, int(angle))
    return Spot(
        value,
        "interface",
        "seat",
        float(seat.r[pair]),
        float(seat.z[pair]),
        round(theta, 6),
        first + int(case),
        service.joint_condition,
        service.instants.all[first + int(case)],
    )


def _averaged(fit: FitSolution, service: ServiceSolution) -> np.ndarray:
    return np.asarray(service.seat.average @ fit.press.pressure[service.closed])


def _service_pressure(service: ServiceSolution) -> np.ndarray:
    return service.seat.pressure + service.seat.static


def _beside_an_edge(judged: np.ndarray, service: ServiceSolution) -> np.ndarray:
    """Mask of the closed pairs that have a neighbour on the same seat which is open or not judged."""
    judged_pairs = np.zeros(len(service.closed), dtype=bool)
    judged_pairs[service.closed] = judged
    share = service.meshed_joint.interface.seat_share
    same = np.any((share[:, 1:] > 0.0) & (share[:, :-1] > 0.0), axis=0)
    beside = np.zeros(len(judged_pairs), dtype=bool)
    beside[1:] |= same & ~judged_pairs[:-1]
    beside[:-1] |= same & ~judged_pairs[1:]
    return beside[service.closed]
