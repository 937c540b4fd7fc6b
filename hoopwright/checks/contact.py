"""Contact pressure of fit and service together along the seat, and where on the seat it is judged."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.fit import FitState
from hoopwright.service.study import ServiceState, Spot

BARELY = 0.1
"""Share of the mean pressure of the fit, below which the bodies count as parted by the fit itself.

Beside a free end the two part over a short stretch as they are pressed together, and pressure falls to
nothing towards it. There is nothing that service could open or make slip, and what is left beside the
edge depends on where the nodes of the mesh happen to lie.
"""

WHERE = f"where the fit gives at least {100 * BARELY:.0f} % of its mean pressure"
"""The same in words."""


@dataclass(frozen=True)
class Contact:
    """On the closed pairs. fit: (pairs,), pressure of the fit, MPa; firm: (pairs,) bool, where it is
    judged. total: (cases + 1, pairs, angles), pressure of fit + service, MPa; all averaged along the seat.

    At the edge of what is judged fit and total are those of the edge itself, at BARELY of the mean.
    """

    fit: np.ndarray
    firm: np.ndarray
    total: np.ndarray


def total_pressure(fit: FitState, service: ServiceState) -> np.ndarray:
    """Contact pressure of fit + service everywhere, (cases + 1, pairs, angles), MPa, averaged."""
    return _changed(service) + _averaged(fit, service)[:, None]


def contact(fit: FitState, service: ServiceState) -> Contact:
    given = _averaged(fit, service)
    mean = float(service.seat.weight @ given)
    firm = given >= BARELY * mean
    given = np.where(firm & _parting(firm, service) & (given < mean), BARELY * mean, given)
    return Contact(given, firm, _changed(service) + given[:, None])


def seat_spot(field: np.ndarray, service: ServiceState) -> Spot:
    """The largest entry of a field (cases, pairs, angles) on the seat."""
    case, pair, angle = np.unravel_index(int(np.argmax(field)), field.shape)
    seat = service.seat
    return Spot(float(field[case, pair, angle]), "interface", "seat", float(seat.r[pair]),
                float(seat.z[pair]), round(float(np.degrees(seat.theta[angle])), 6), int(case),
                service.grip)


def _averaged(fit: FitState, service: ServiceState) -> np.ndarray:
    return np.asarray(service.seat.average @ fit.press.pressure[service.closed])


def _changed(service: ServiceState) -> np.ndarray:
    return service.seat.pressure + service.seat.standing


def _parting(firm: np.ndarray, service: ServiceState) -> np.ndarray:
    """Closed pairs with a neighbour on the same seat that is open, or not judged."""
    held = np.zeros(len(service.closed), dtype=bool)
    held[service.closed] = firm
    share = service.assembly.interface.seat_share
    same = np.any((share[:, 1:] > 0.0) & (share[:, :-1] > 0.0), axis=0)
    parting = np.zeros(len(held), dtype=bool)
    parting[1:] |= same & ~held[:-1]
    parting[:-1] |= same & ~held[1:]
    return parting[service.closed]
