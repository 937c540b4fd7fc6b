"""What the rows about service share: whether they apply, and what they rest on."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hoopwright.checks.contact import contact, seat_spot
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.grip import refused
from hoopwright.checks.margin import Margin, Where
from hoopwright.display import Units
from hoopwright.estimate import LOWEST, Estimate
from hoopwright.fit import Bracket, FitState
from hoopwright.service.study import GRIPS, ServiceState, Spot, bore_shapes

ASK = "give [service] with loads to have this judged"


def grips(evidence: Evidence) -> tuple[str, ...]:
    """Ways the joint may hold in service: stuck alone where a credited compound carries all its shear."""
    service = evidence.study.service
    film = credited(evidence)
    if service is None or not film:
        return GRIPS
    return ("stuck",) if all(float(s.seat.shear.max()) <= film for s in service.states["stuck"]) else GRIPS


def grips_said(evidence: Evidence) -> str:
    if grips(evidence) == GRIPS:
        return "worse of frictionless and stuck joint"
    return "joint stuck by the credited compound"


def credited(evidence: Evidence) -> float:
    """Shear the retaining compound is credited with, MPa; 0 where it is not."""
    compound = evidence.case.compound
    if compound is None or refused(compound, evidence):
        return 0.0
    return compound.credit * compound.shear_strength


def both_ends(evidence: Evidence) -> tuple[Bracket, ...]:
    """The loosest and the tightest fit; one where they are the same."""
    if evidence.least == evidence.greatest:
        return (evidence.tightest,)
    return evidence.loosest, evidence.tightest


def unserved(evidence: Evidence, id_: str, title: str, unit: str, body: str, *, shown: bool) -> Margin:
    """The row of a case without service loads; one of them asks for the table, the others are left out."""
    return Margin(id_, title, None, None, unit, 1.0, Where(body), "fit and service loads", ASK,
                  applies=shown and evidence.case.service is None)


def where_of(evidence: Evidence, spot: Spot) -> Where:
    """The place of a spot; the same all round where it is the fit alone, of a round bore."""
    service = evidence.study.service
    alone = (service is not None and spot.case == len(service.cases)
             and not any(bore_shapes(evidence.case)))
    return Where(spot.body, spot.r, spot.z, None if alone else spot.theta)


def instant(evidence: Evidence, spot: Spot) -> str:
    """The load case a spot belongs to, in words."""
    service = evidence.study.service
    return "" if service is None else f"in load case '{service.names[spot.case]}'"


def resting_on_the_joint(evidence: Evidence, margin: Margin) -> Margin:
    """The margin with a doubt where the joint opens, as stress was added up for a closed one."""
    opened = opening(evidence)
    if opened is None or opened[0].value >= 0.0:
        return margin
    spot = opened[1]
    place = Units().both(spot.z, "mm")
    said = (f"the joint opens at z = {place}, {spot.theta:.0f}°, so stresses added up for a closed joint "
            "are a guide only")
    return replace(margin, doubt=margin.doubt or said)


def opening(evidence: Evidence) -> tuple[Estimate, Spot] | None:
    """Lowest contact pressure of fit + service at the loosest fit, MPa, negative where the joint opens.

    Where the fit itself leaves the bodies all but parted is left out (`contact.BARELY`).
    None without service loads and out-of-round bore.
    """
    service = evidence.study.service
    if service is None:
        return None
    lowest, spot = service.once(("opening", evidence.least), lambda: service.worst(
        (evidence.loosest,), least_pressure, grips=grips(evidence), kind=LOWEST))
    return Estimate(-lowest.value, lowest.error), spot


def least_pressure(fit: FitState, service: ServiceState) -> Spot:
    """Lowest pressure of fit + service on one mesh, its value with the sign turned."""
    here = contact(fit, service)
    return seat_spot(np.where(here.firm[:, None], -here.total, -np.inf), service)
