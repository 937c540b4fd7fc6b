"""Where a smooth, free surface is not what repeats its load: a seat that slips, and the roots of a thread.

A seat that slips in use frets: the faces that rub, and a wall beyond their ends, keep a share of their
fatigue strength ([fatigue] fretting). It slips where the row of local slip does not hold, which credits a
retaining compound only as far as that row does. At a thread the whole stress is taken times the factor that
the case gives ([fatigue] thread_notch_factor), and all over the shell times what it rises by on the thin
side of its wall. A zone of [[shell.strength]] has the strength of its metal.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.joint_slips import seat_keeps_still
from hoopwright.checks.thin_side import thin_side
from hoopwright.clamp_edges import unjudged_under_loads
from hoopwright.service.fatigue_strength import share_of_zones
from hoopwright.service.fields import SURFACES, WallField
from hoopwright.service.study import Spot
from hoopwright.strength import zones_of

SEAT_FACE = {"shell": "bore", "sleeve": "outside"}
ROUNDING = 1e-6
"""Difference of places, mm, that is rounding."""

Seat = Literal["still", "slips", "not judged"]
FRETTING, THREAD, ZONE = "fretting of the seat", "thread root", "zone of strength"
THIN = "thin side of the wall"
NO_WALL = 1e-6
"""Share of the strength that stands for none, where no wall is left on the thin side."""


def seat_in_use(evidence: Evidence) -> Seat:
    """Whether the seat slips anywhere in use."""
    if "seat" in unjudged_under_loads(evidence.case):
        return "not judged"
    return "still" if seat_keeps_still(evidence) else "slips"


def fretting_share(evidence: Evidence) -> float:
    """Share of the strength that the faces of the seat keep: below 1 where they may slip, and the case
    accepts that."""
    service = evidence.case.service
    accepted = service is not None and service.micro_slip_accepted
    return evidence.case.fatigue.fretting if accepted and seat_in_use(evidence) != "still" else 1.0


def fretting_doubt(evidence: Evidence) -> str:
    """Doubt about fatigue where the seat slips and nobody accepts it; "" elsewhere."""
    service = evidence.case.service
    if service is None or service.micro_slip_accepted or seat_in_use(evidence) != "slips":
        return ""
    return (
        "the seat slips locally in use, and what fretting takes from its fatigue strength is not counted: "
        'keep it still, or accept it with [service] micro_slip = "accepted", which takes [fatigue] fretting'
    )


def shares(evidence: Evidence, body: str, wall: WallField) -> np.ndarray | None:
    """Share of the fatigue strength that is left at every line of both surfaces, (2, lines); None where it
    is all of it everywhere."""
    found = np.ones((len(SURFACES), len(wall.z)))
    if zones_of(evidence.case, body):
        found *= share_of_zones(evidence.case, body, wall.z)
    found *= thin_side_share(evidence, body)
    fretting, notch = fretting_share(evidence), _notch(evidence.case, body)
    if fretting < 1.0:
        found[SURFACES.index(SEAT_FACE[body]), _near_seat(evidence, wall.z)] *= fretting
    if notch is not None:
        found[SURFACES.index("bore"), _threaded(evidence.case, wall.z)] /= notch
    return found if np.any(found != 1.0) else None


def factors_at(evidence: Evidence, body: str, spot: Spot) -> dict[str, float]:
    """What lowers the strength at one place beside the metal's own factors, by name."""
    z = np.asarray(spot.z)
    found: dict[str, float] = {}
    if zones_of(evidence.case, body):
        share = float(share_of_zones(evidence.case, body, z))
        found |= {ZONE: share} if share != 1.0 else {}
    thin = thin_side_share(evidence, body)
    found |= {THIN: thin} if thin < 1.0 else {}
    if spot.surface == SEAT_FACE[body] and _near_seat(evidence, z):
        share = fretting_share(evidence)
        found |= {FRETTING: share} if share < 1.0 else {}
    notch = _notch(evidence.case, body)
    if notch is not None and spot.surface == "bore" and _threaded(evidence.case, z):
        found[THREAD] = 1.0 / notch
    return found


def thin_side_share(evidence: Evidence, body: str) -> float:
    """Share of the strength of a body that counts against the stress of an even wall."""
    return max(1.0 / thin_side(evidence, body, bent=True).rise, NO_WALL)


def threads_left_out(case: Case, body: str) -> bool:
    """Whether a body has threads whose roots no factor takes."""
    has_thread = body == "sleeve" and any(zone.thread is not None for zone in case.sleeve.bore)
    return has_thread and case.fatigue.thread_notch_factor is None


def _notch(case: Case, body: str) -> float | None:
    return case.fatigue.thread_notch_factor if body == "sleeve" else None


def _near_seat(evidence: Evidence, z: np.ndarray) -> np.ndarray:
    """Which places along z lie on a seat or within a wall of its ends."""
    joint = evidence.study.joint
    reach = joint.thinnest_wall + ROUNDING
    bands = [(s.z_start - reach, s.z_end + reach) for s in joint.seats]
    return np.any([(z >= start) & (z <= end) for start, end in bands], axis=0)


def _threaded(case: Case, z: np.ndarray) -> np.ndarray:
    bands = [(zone.z_start, zone.z_end) for zone in case.sleeve.bore if zone.thread is not None]
    on = [(z >= start - ROUNDING) & (z <= end + ROUNDING) for start, end in bands]
    return np.any(on, axis=0) if on else np.zeros(np.shape(z), dtype=bool)
